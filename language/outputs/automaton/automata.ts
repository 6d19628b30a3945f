import type { Automaton } from "@limbwright/shared/runtime";
import { textFindingsBefore } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import type { Protocol } from "../../model/index.ts";
import type { Refused } from "../../rule-file/compile.ts";
import { catalogue } from "../../rules/catalogue.ts";
import { timingOf, watchersOf } from "../../rules/engine/runs-for.ts";
import { buildAutomaton, whyNoRuns } from "../../runs/index.ts";
import { automatonDot } from "./dot.ts";

export interface AutomatonOptions {
  /** With a cuff that loses its pressure at any moment, and the handlers that answer it. */
  readonly leaks?: boolean;
}

export type AutomatonResult =
  | {
      readonly kind: "built";
      readonly protocol: string;
      /** What the runs of the protocol are, with the checks that the rules make in them. */
      readonly automaton: Automaton;
      /** A picture of it in DOT, the language of the Graphviz programs. */
      readonly dot: string;
    }
  | Refused;

/**
 * The automaton of every protocol of a file, in the order of the text. Refused while the text has errors, or has no steps
 * or cuffs; what else is wrong does not matter. Undefined when there is no such file.
 */
export function automataOf(
  site: Site,
  file: string,
  { leaks = false }: AutomatonOptions = {},
): AutomatonResult[] | undefined {
  const read = site.file(file);
  if (!read) return undefined;
  const errors = textFindingsBefore(site, read).filter(({ severity }) => severity === "error");
  return read.protocols.map((protocol): AutomatonResult => {
    const refuse = (reason: string) => {
      const because = `\`${protocol.name}\` has no automaton: ${reason}.`;
      return { kind: "refused", protocol: protocol.name, because, findings: errors, open: [] } as const;
    };
    if (errors.length > 0) return refuse("there are errors");
    const missing = whyNoRuns(protocol);
    return missing ? refuse(missing.limit) : buildForProtocol(protocol, leaks);
  });
}

function buildForProtocol(protocol: Protocol, leaks: boolean): AutomatonResult {
  const traced = buildAutomaton(protocol, {
    timing: timingOf(protocol),
    watchers: watchersOf(protocol, catalogue),
    ...(leaks && { leaks: "one" }),
  });
  const { name } = protocol;
  return {
    kind: "built",
    protocol: name,
    automaton: traced.automaton,
    dot: automatonDot(traced, name),
  };
}
