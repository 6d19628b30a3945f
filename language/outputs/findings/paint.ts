import type { Severity } from "@limbwright/shared/finding";

/** How words are set apart on a terminal. Without colour every function gives its text back. */
export interface Paint {
  readonly severity: (severity: Severity, text: string) => string;
  readonly accepted: (text: string) => string;
  readonly strong: (text: string) => string;
  readonly faint: (text: string) => string;
}

const plainly = (text: string) => text;

export const PLAIN: Paint = {
  severity: (_, text) => text,
  accepted: plainly,
  strong: plainly,
  faint: plainly,
};

export const COLOURED: Paint = {
  severity: (severity, text) => wrapInCode(SEVERITY_CODES[severity], text),
  accepted: (text) => wrapInCode("32", text),
  strong: (text) => wrapInCode("1", text),
  faint: (text) => wrapInCode("2", text),
};

const SEVERITY_CODES: Readonly<Record<Severity, string>> = {
  error: "1;31",
  unsafe: "1;31",
  doubtful: "1;33",
  advice: "1;36",
};

function wrapInCode(code: string, text: string): string {
  return text === "" ? "" : `\u001b[${code}m${text}\u001b[0m`;
}
