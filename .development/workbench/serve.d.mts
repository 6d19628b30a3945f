/** What the editor begins with. */
export interface WorkbenchOptions {
  /** 0, and what is not said, is any port that is free. */
  readonly port?: number;
  /** The texts of the folder by their path, with / between folders. */
  readonly files: Readonly<Record<string, string>>;
  /** Under which scheme and path the editor shows the folder. */
  readonly folder?: { readonly scheme: string; readonly path: string };
  /** Files to be open at the beginning; the last one is in front. */
  readonly open?: readonly string[];
  /** Commands that are run once these are open. */
  readonly run?: readonly string[];
  /** Laid over the editor's own settings. */
  readonly settings?: object;
  /** Laid over the options with which the editor is made. */
  readonly more?: object;
}

export function serveWorkbench(
  options: WorkbenchOptions,
): Promise<{ readonly url: string; readonly close: () => void }>;

export function textsBelow(folder: string): Record<string, string>;
