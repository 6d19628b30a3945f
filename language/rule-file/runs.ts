import type { RunTimer as FileTimer, GivenDoses, Runs } from "@limbwright/shared/rule-file";
import type { Automaton, Condition } from "@limbwright/shared/runtime";
import type { Protocol } from "../model/index.ts";
import type { ProtocolJudgement } from "../rules/engine/judge.ts";
import { timingOf, watchersOf } from "../rules/engine/runs-for.ts";
import {
  all,
  buildAutomaton,
  CUFFS_TESTED,
  type ExploredRuns,
  HOLD,
  HOLD_RUNS,
  hasBeen,
  INFLATED,
  momentName,
  not,
  OCCLUSION,
  type TracedAutomaton,
} from "../runs/index.ts";
import { writePart, writingWith } from "./codec.ts";
import type { Marks } from "./marks.ts";
import { rulesOfFile } from "./proof.ts";
import { byName, compareTexts, inFixedOrder } from "./values.ts";

/** What a file says of the runs of a protocol. Where not every run was gone through, it says why and no more. */
export function runsPart(marks: Marks, { protocol, explored }: ProtocolJudgement): Runs {
  const { runs } = explored;
  if (runs.kind === "not-explored") {
    return marks.at({ kind: "not-explored", limit: runs.limit }, runs.origin);
  }
  if (runs.limit !== undefined) return { kind: "not-explored", limit: runs.limit };
  const traced = automatonOfFile(protocol);
  return {
    kind: "explored",
    automaton: automatonPart(marks, traced),
    timers: timerParts(protocol, traced),
    endedBy: [...runs.endedBy].sort(compareTexts),
    envelope: writePart(writingWith(marks), "Envelope", runs.envelope),
    given: givenParts(runs),
  };
}

/** The automaton whose runs were explored, with a leak of a cuff at any moment besides. */
export function automatonOfFile(protocol: Protocol): TracedAutomaton {
  return buildAutomaton(protocol, {
    timing: timingOf(protocol),
    watchers: watchersOf(protocol, rulesOfFile),
    leaks: "one",
  });
}

function automatonPart(marks: Marks, { automaton, edgeOrigins, checkOrigins }: TracedAutomaton) {
  const { edges, checks, ...others } = automaton;
  return {
    ...others,
    edges: edges.map((edge, at) => marks.at(edge, edgeOrigins[at])),
    checks: checks.map((check, at) => marks.at(check, checkOrigins[at])),
  };
}

/** The two times that always count, and the timers of the protocol whose clocks the automaton has. */
function timerParts({ timers }: Protocol, { automaton, clockFor }: TracedAutomaton): FileTimer[] {
  const own = timers.flatMap(({ name, from }): (FileTimer & { readonly name: string })[] => {
    const moment = from && momentName(from);
    if (moment === undefined || !automaton.clocks.includes(clockFor(moment))) return [];
    return [{ kind: "timer", name, clock: clockFor(moment), runs: hasBeen(moment) }];
  });
  return [
    { kind: "hold", clock: clockFor(HOLD), runs: HOLD_RUNS },
    { kind: "occlusion", clock: clockFor(OCCLUSION), runs: occlusionRuns(automaton) },
    ...byName(own),
  ];
}

/** After a test of the cuffs nobody counts, until one comes up again. */
function occlusionRuns({ variables }: Automaton): Condition {
  const mayBeTested = variables.some(({ name }) => name === CUFFS_TESTED.variable);
  return mayBeTested ? all(INFLATED, not(CUFFS_TESTED)) : INFLATED;
}

function givenParts({ given }: ExploredRuns): GivenDoses[] {
  return inFixedOrder(
    given.map(({ counts }) => ({
      doses: [...counts]
        .map(([dose, count]) => ({ dose, count }))
        .sort((a, b) => compareTexts(a.dose, b.dose)),
    })),
  );
}
