import { judgeAllIn } from "../check/judged.ts";
import type { Site } from "../lower/site.ts";
import type { JudgeOptions } from "../rules/engine/judge.ts";
import { type Compiled, compileProtocol } from "./compile.ts";

export interface CompileOptions extends JudgeOptions {
  /** Writes a rule file marked as a draft, with the findings inside, although unsafe findings stand. */
  readonly draft?: boolean;
}

/**
 * Compiles every protocol of a file to the text of its rule file, in the order of the text. Undefined when
 * there is no such file.
 *
 * A protocol is refused while an error, or an unsafe finding that nobody has accepted, stands on the day
 * `on`; errors also stop a draft. What is written does not depend on that day: the same sources and the
 * same catalogue give the same text.
 */
export function compileFile(site: Site, file: string, options: CompileOptions): Compiled[] | undefined {
  return judgeAllIn(site, file, options)?.map((judged) => compileProtocol(judged, options.draft ?? false));
}
