import { fileURLToPath } from "node:url";
import { parentPort, Worker, workerData } from "node:worker_threads";
import { textsOfCommit } from "../../workspace/last-commit.ts";
import type { ProverAnswer, ProverRequest, ProverThread } from "./prover-messages.ts";
import { proverService } from "./prover-service.ts";

/** Starts a thread of Node that runs `program`, which calls `runNodeProver`. */
export function nodeProver(program: string): ProverThread {
  const interrupted = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(program, { workerData: interrupted });
  worker.unref();
  return {
    post: (request) => worker.postMessage(request),
    onAnswer: (take) => {
      worker.on("message", take);
    },
    interrupt: (task) => {
      Atomics.store(interrupted, 0, task);
    },
    end: () => {
      worker.terminate();
    },
  };
}

/** The thread's own side: tasks up to the shared number are interrupted. */
export function runNodeProver(): void {
  const interrupted = workerData as Int32Array;
  const answerTo = proverService(
    (task) => task <= Atomics.load(interrupted, 0),
    (folder, commit) => textsOfCommit(fileURLToPath(folder), commit),
  );
  parentPort?.on("message", (request: ProverRequest) => {
    const answer: ProverAnswer | undefined = answerTo(request);
    if (answer) parentPort?.postMessage(answer);
  });
}
