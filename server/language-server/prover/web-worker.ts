/** What the server uses of a web worker: of one that it starts, and of the one it runs in. */
export interface WebWorker {
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

/** The worker in which this runs. */
export function workerScope(): WorkerScope {
  return globalThis as unknown as WorkerScope;
}
