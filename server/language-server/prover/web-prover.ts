import type { ProverAnswer, ProverRequest, ProverThread } from "./prover-messages.ts";
import { proverService } from "./prover-service.ts";
import type { WorkerScope } from "./web-worker.ts";

/** The name by which a worker knows that it is to prove, and not to serve. */
export const PROVER_NAME = "limbwright-prover";

/**
 * A worker beside the server's own. Workers of a browser share no memory, so a task that is interrupted ends with its
 * worker; the next one is told all texts again.
 */
export function webProver(scope: WorkerScope): ProverThread {
  const texts = new Map<string, Extract<ProverRequest, { kind: "text" }>>();
  let take: (answer: ProverAnswer) => void = () => {};
  let task: number | undefined;
  const start = () => {
    const started = new scope.Worker(scope.location.href, { name: PROVER_NAME });
    started.onmessage = ({ data }) => {
      task = undefined;
      take(data as ProverAnswer);
    };
    return started;
  };
  let worker = start();
  return {
    post: (request) => {
      if (request.kind === "judge") task = request.task;
      if (request.kind === "text") texts.set(`${request.folder} ${request.file}`, request);
      if (request.kind === "close") forget(texts, request.folder);
      worker.postMessage(request);
    },
    onAnswer: (listener) => {
      take = listener;
    },
    interrupt: (upTo) => {
      if (task === undefined || task > upTo) return;
      const interrupted = task;
      task = undefined;
      worker.terminate();
      worker = start();
      for (const text of texts.values()) worker.postMessage(text);
      setTimeout(() => take({ task: interrupted }), 0);
    },
    end: () => worker.terminate(),
  };
}

function forget(texts: Map<string, Extract<ProverRequest, { kind: "text" }>>, folder: string): void {
  for (const [key, request] of texts) if (request.folder === folder) texts.delete(key);
}

/** The worker's own side. */
export function runWebProver(scope: WorkerScope): void {
  const answerTo = proverService(() => false);
  scope.onmessage = ({ data }) => {
    const answer = answerTo(data as ProverRequest);
    if (answer) scope.postMessage(answer);
  };
}
