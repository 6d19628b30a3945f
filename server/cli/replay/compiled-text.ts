import { compileFile, type Site } from "@limbwright/language";
import { Trouble } from "../../workspace/trouble.ts";
import { makeOfOne } from "../one-protocol.ts";
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
  { named: protocol, workspace }: CompiledTextOptions,
  invocation: Invocation,
): string {
  const make = (site: Site, path: string) => compileFile(site, path, { on: invocation.today, draft: true });
  const asked = { protocol, workspace, subject: "a replay", nothing: "no rules to follow", make };
  const { result } = makeOfOne(file, asked, invocation);
  if (result.kind === "written") return result.text;
  throw new Trouble({
    file,
    what: `No case can be held against ${file}. ${result.because}`,
    next: "`limb check` shows what to mend.",
  });
}
