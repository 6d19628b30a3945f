/** What the editor begins with. */
export interface WorkbenchOptions {
  /** The texts of the folder by their path, with / between folders. */
  readonly files: Readonly<Record<string, string>>;
  /** Under which scheme and path the editor shows the folder. */
  readonly folder?: { readonly scheme: string; readonly path: string };
  /** Files to be open at the beginning; the last one is in front. */
  readonly open?: readonly string[];
  /** Commands that are run once these are open. */
  readonly run?: readonly string[];
  /** What the status bar says once that is done; nothing, if it is not given. */
  readonly done?: string;
  /** Settings that a person makes. */
  readonly settings?: Readonly<Record<string, unknown>>;
  /** Laid over the editor's own settings. */
  readonly defaults?: object;
  /** Laid over the options with which the editor is made. */
  readonly more?: object;
}

export interface ServedWorkbench {
  readonly url: string;
  /** Pages begin with this from now on, and the example folder in an open one that begins again. */
  readonly beginWith: (options: WorkbenchOptions) => void;
  readonly close: () => void;
}

/** On any port that is free, if none is given. */
export function serveWorkbench(
  options: WorkbenchOptions & { readonly port?: number },
): Promise<ServedWorkbench>;

export function textsBelow(folder: string): Record<string, string>;
