import type { AcceptanceAsked, AcceptanceReason } from "@limbwright/shared/editor";
import { type InputBoxOptions, window } from "vscode";
import { faultInDay, faultInWords } from "./reason-faults.ts";

/** Asks for all that an acceptance needs; `null` when the person at the editor leaves one of the questions. */
export async function askForReason({ rule, protocol }: AcceptanceAsked): Promise<AcceptanceReason | null> {
  const title = `Accept what ${rule} finds in ${protocol}`;
  const because = await ask({
    title: `${title} (1 of 3)`,
    prompt: "Why may it stand? This is printed with the protocol.",
    validateInput: (written) => faultInWords(written, "reason"),
  });
  if (because === undefined) return null;
  const by = await ask({
    title: `${title} (2 of 3)`,
    prompt: "Which role decides that?",
    validateInput: (written) => faultInWords(written, "role"),
  });
  if (by === undefined) return null;
  const until = await ask({
    title: `${title} (3 of 3)`,
    prompt: "Until when does it hold? The last day, YYYY-MM-DD.",
    validateInput: (written) => faultInDay(written, new Date().toLocaleDateString("sv-SE")),
  });
  return until === undefined ? null : { because, by, until: until.trim() };
}

/** The fault is shown only once something was written, but nothing faulty is ever taken. */
async function ask(options: InputBoxOptions): Promise<string | undefined> {
  return window.showInputBox({ ...options, ignoreFocusOut: true });
}
