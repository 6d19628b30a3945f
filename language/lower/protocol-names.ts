import type * as ast from "../grammar/generated/ast.ts";
import { isCuff, isDose, isEmergency, isRoutine, isStage, isTimer } from "../grammar/generated/ast.ts";
import { nodesIn } from "../grammar/nodes.ts";
import { nameOf } from "./names.ts";

/** The names a protocol declares, by kind; for suggestions where a name is unknown. */
export interface Names {
  readonly cuffs: readonly string[];
  readonly doses: readonly string[];
  readonly timers: readonly string[];
  readonly stages: readonly string[];
  readonly emergencies: readonly string[];
  readonly routines: readonly string[];
}

/** Everything named inside a protocol, in the order of the text. */
export function declarationsIn(node: ast.Protocol) {
  const all = nodesIn(node);
  return {
    cuffs: all.filter(isCuff),
    doses: all.filter(isDose),
    timers: all.filter(isTimer),
    stages: all.filter(isStage),
    emergencies: all.filter(isEmergency),
    routines: all.filter(isRoutine),
  };
}

export function namesOf(
  declarations: ReturnType<typeof declarationsIn>,
  routinesOfFiles: readonly string[],
): Names {
  const names = (nodes: readonly { readonly name: string }[]) => nodes.map(nameOf);
  return {
    cuffs: names(declarations.cuffs),
    doses: names(declarations.doses),
    timers: names(declarations.timers),
    stages: names(declarations.stages),
    emergencies: names(declarations.emergencies),
    routines: [...names(declarations.routines), ...routinesOfFiles],
  };
}
