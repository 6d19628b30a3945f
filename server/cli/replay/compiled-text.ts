import { compileFile, Site } from "@limbwright/language";
import { Trouble } from "../../workspace/trouble.ts";
import { chosenProtocol } from "../chosen-protocol.ts";
import { openOneFile } from "../one-file.ts";
import type { Invocation } from "../surroundings.ts";

export interface CompiledTextOptions {
  /** The protocol to take, where the file has several. */
  readonly named?: string;
  /** The folder whose files may use one another. */
  readonly workspace?: string;
}

/** The rule file of a protocol, also of one that is a draft. Throws `Trouble` where there is none. */
export function compileText(
  file: string,
  { named, workspace: asked }: CompiledTextOptions,
  { currentFolder, today }: Invocation,
): string {
  const opened = openOneFile(file, { workspace: asked, currentFolder }, "a replay");
  const compiled = compileFile(new Site(opened.workspace.textOf), opened.file, { on: today, draft: true });
  const [unread] = opened.workspace.troubles;
  if (unread) throw unread;
  const chosen = chosenProtocol(compiled ?? [], { file, protocol: named, nothing: "no rules to follow" });
  if (chosen.kind === "written") return chosen.text;
  throw new Trouble({
    file,
    what: `No case can be held against ${file}. ${chosen.because}`,
    next: "`limb check` shows what to mend.",
  });
}
