import { fileURLToPath } from "node:url";
import { parentPort, Worker, workerData } from "node:worker_threads";
import { textsOfCommit } from "../../workspace/last-commit.ts";
import type { ProverAnswer, ProverRequest, ProverThread } from "./prover-messages.ts";
import { proverService } from "./prover-service.ts";

/** Starts a thread of Node that runs `program`, which calls `runNodeProver`. */
export function nodeProver(program: string): ProverThread {
  const told = new Int32Array(new SharedArrayBuffer(4 * (1 + CANCELLED)));
  const worker = new Worker(program, { workerData: told });
  worker.unref();
  return {
    post: (request) => worker.postMessage(request),
    onAnswer: (take) => {
      worker.on("message", take);
    },
    interrupt: (task) => {
      Atomics.store(told, 0, task);
    },
    cancel: (task) => {
      Atomics.store(told, placeOf(task), task);
    },
    end: () => {
      worker.terminate();
    },
  };
}

/** How many of the last cancelled tasks are told. One that is forgotten goes on to its end, for nobody. */
const CANCELLED = 16;

function placeOf(task: number): number {
  return 1 + (task % CANCELLED);
}

/** The thread's own side: judgements up to the first shared number are interrupted; the others are tasks that were cancelled. */
export function runNodeProver(): void {
  const told = workerData as Int32Array;
  const answerTo = proverService({
    isInterrupted: (task) => task <= Atomics.load(told, 0),
    isCancelled: (task) => Atomics.load(told, placeOf(task)) === task,
    textsOfCommit: (folder, commit) => textsOfCommit(fileURLToPath(folder), commit),
  });
  parentPort?.on("message", (request: ProverRequest) => {
    const answer: ProverAnswer | undefined = answerTo(request);
    if (answer) parentPort?.postMessage(answer);
  });
}
