import {
  type AwaitedRequest,
  isAsked,
  isAwaited,
  type ProverAnswer,
  type ProverRequest,
  type ProverThread,
} from "./prover-messages.ts";
import { proverService } from "./prover-service.ts";

/** What the server uses of a web worker: of one that it starts, and of the one it runs in. */
interface WebWorker {
  postMessage(value: unknown): void;
  onmessage: ((event: { readonly data: unknown }) => void) | null;
}

export interface StartedWorker extends WebWorker {
  onerror: ((event: { readonly message: string; preventDefault(): void }) => void) | null;
  terminate(): void;
}

export interface WorkerScope extends WebWorker {
  readonly name: string;
  readonly location: { readonly href: string };
  readonly Worker: new (program: string, options: { readonly name: string }) => StartedWorker;
}

/** The name by which a worker knows that it is to prove, and not to serve. */
export const PROVER_NAME = "limbwright-prover";

type TextTold = Extract<ProverRequest, { kind: "text" }>;

/**
 * A worker beside the server's own. Workers of a browser share no memory, so a task that is interrupted ends with its
 * worker. The next one is started when there is something to do for it, for whoever types interrupts often; it is told all
 * texts again, and asked again for the scenarios and comparisons that went with the other.
 */
export function webProver(scope: WorkerScope): ProverThread {
  const texts = new Map<string, TextTold>();
  const awaited = new Map<number, AwaitedRequest>();
  let take: (answer: ProverAnswer) => void = () => {};
  let task: number | undefined;
  let worker: StartedWorker | undefined = start();

  function start(): StartedWorker {
    const started = new scope.Worker(scope.location.href, { name: PROVER_NAME });
    started.onmessage = ({ data }) => {
      const answer = data as ProverAnswer;
      if (answer.task === task) task = undefined;
      awaited.delete(answer.task);
      take(answer);
    };
    // An error that nobody handles would go up to the server's own worker, and end it.
    started.onerror = (event) => {
      event.preventDefault();
      if (started === worker) fail(event.message);
    };
    for (const request of [...texts.values(), ...awaited.values()]) started.postMessage(request);
    return started;
  }

  function end(): void {
    worker?.terminate();
    worker = undefined;
  }

  /** What was asked of a worker that broke is answered with why. */
  function fail(fault: string): void {
    end();
    const asked = [...(task === undefined ? [] : [task]), ...awaited.keys()];
    task = undefined;
    awaited.clear();
    for (const one of asked) take({ task: one, fault });
  }

  return {
    post: (request) => {
      if (request.kind === "judge") task = request.task;
      const started = worker ?? (isAsked(request) ? start() : undefined);
      if (request.kind === "text") texts.set(`${request.folder} ${request.file}`, request);
      if (request.kind === "close") forget(texts, request.folder);
      if (isAwaited(request)) awaited.set(request.task, request);
      worker = started;
      started?.postMessage(request);
    },
    onAnswer: (listener) => {
      take = listener;
    },
    interrupt: (upTo) => {
      if (task === undefined || task > upTo) return;
      const interrupted = task;
      task = undefined;
      end();
      if (awaited.size > 0) worker = start();
      setTimeout(() => take({ task: interrupted }), 0);
    },
    cancel: (one) => {
      if (!awaited.delete(one)) return;
      const ended = task === undefined ? [one] : [one, task];
      task = undefined;
      end();
      if (awaited.size > 0) worker = start();
      setTimeout(() => {
        for (const each of ended) take({ task: each });
      }, 0);
    },
    end,
  };
}

function forget(texts: Map<string, TextTold>, folder: string): void {
  for (const [key, request] of texts) if (request.folder === folder) texts.delete(key);
}

/** The worker's own side. */
export function runWebProver(scope: WorkerScope): void {
  const never = () => false;
  const answerTo = proverService({ isInterrupted: never, isCancelled: never });
  scope.onmessage = ({ data }) => {
    const answer = answerTo(data as ProverRequest);
    if (answer) scope.postMessage(answer);
  };
}
