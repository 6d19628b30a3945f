import type { PreviewMeasureName, PreviewModel } from "@limbwright/shared/editor";

/** What the panel tells its page. */
export type ToPage =
  /** What there is to show now. */
  | { readonly kind: "model"; readonly model: PreviewModel }
  /** There is nothing to show of the text, and why; a picture of it that is on the page is old. */
  | { readonly kind: "nothing"; readonly uri: string; readonly because: string }
  /** The text has changed: what is on the page is old until the next model comes. */
  | { readonly kind: "changed" }
  /** Where the cursor is; lines count from 1. */
  | { readonly kind: "cursor"; readonly file: string; readonly line: number };

/** What the page tells its panel. */
export type FromPage =
  /** It listens from now on. */
  | { readonly kind: "ready" }
  /** A mark was chosen: its line is to be shown in the editor. */
  | { readonly kind: "open"; readonly file: string; readonly line: number }
  /** What is typed of a patient. It is never kept. */
  | { readonly kind: "patient"; readonly patient: TypedPatient };

export type TypedPatient = Readonly<Partial<Record<PreviewMeasureName, string>>>;

const MEASURES: ReadonlySet<string> = new Set(["weight", "age", "systolic", "circumference"]);
/** Longer than any measure that can be meant. */
const LONGEST = 20;

/** What came from the page, if it is a message of ours; a page may be asked to send anything. */
export function fromPage(data: unknown): FromPage | undefined {
  if (typeof data !== "object" || data === null) return undefined;
  const { kind, file, line, patient } = data as Readonly<Record<string, unknown>>;
  if (kind === "ready") return { kind };
  if (kind === "open" && typeof file === "string" && Number.isInteger(line) && Number(line) > 0) {
    return { kind, file, line: Number(line) };
  }
  if (kind === "patient" && typeof patient === "object" && patient !== null) {
    const typed = Object.entries(patient).flatMap(([name, text]: [string, unknown]) =>
      MEASURES.has(name) && typeof text === "string" ? [[name, text.slice(0, LONGEST)]] : [],
    );
    return { kind, patient: Object.fromEntries(typed) as TypedPatient };
  }
  return undefined;
}
