import { isAsked, type ProverAnswer, type ProverThread } from "./prover-messages.ts";
import { proverService } from "./prover-service.ts";

/** Where there is no other thread to be had, the runs are gone through in this one, between two messages. */
export function inlineProver(): ProverThread {
  let take: (answer: ProverAnswer) => void = () => {};
  let interrupted = 0;
  const cancelled = new Set<number>();
  const answerTo = proverService({
    isInterrupted: (task) => task <= interrupted,
    isCancelled: (task) => cancelled.has(task),
  });
  return {
    post: (request) => {
      if (!isAsked(request)) {
        answerTo(request);
        return;
      }
      setTimeout(() => {
        const answer = answerTo(request);
        if (answer) take(answer);
      }, 0);
    },
    onAnswer: (listener) => {
      take = listener;
    },
    interrupt: (task) => {
      interrupted = task;
    },
    cancel: (task) => {
      cancelled.add(task);
    },
    end: () => {},
  };
}
