const MOST_REMEMBERED = 20_000;

/** Answers by the text of their question: records ask the same again and again. Forgets all when there are too many. */
export class Remembered<Answer> {
  readonly #answers = new Map<string, Answer>();

  of(question: string, answer: () => Answer): Answer {
    const known = this.#answers.get(question);
    if (known !== undefined || this.#answers.has(question)) return known as Answer;
    if (this.#answers.size >= MOST_REMEMBERED) this.#answers.clear();
    const found = answer();
    this.#answers.set(question, found);
    return found;
  }
}
