/** What came of a question; nothing where a newer one was asked meanwhile. */
export type Answered<Answer> =
  | { readonly isNewest: true; readonly value: Answer }
  | { readonly isNewest: false };

/**
 * Asks one question at a time. Of those that come while one is on its way only the newest is asked next, so that a fast typist never
 * has the server answer what nobody waits for; whatever an older one comes to is dropped, a fault too.
 */
export function newestOnly<Question, Answer>(
  ask: (question: Question) => Promise<Answer>,
): (question: Question) => Promise<Answered<Answer>> {
  let newest = 0;
  let last: Promise<unknown> = Promise.resolve();
  return (question) => {
    newest += 1;
    const own = newest;
    const answer = last.then(async (): Promise<Answered<Answer>> => {
      if (own !== newest) return { isNewest: false };
      try {
        const value = await ask(question);
        return own === newest ? { isNewest: true, value } : { isNewest: false };
      } catch (error) {
        if (own === newest) throw error;
        return { isNewest: false };
      }
    });
    last = answer.catch(() => undefined);
    return answer;
  };
}
