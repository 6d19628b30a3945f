import type { Protocol } from "../../model/index.ts";
import {
  type Assumption,
  assumptionsOf,
  cuffNames,
  exploreRuns,
  type FaultTable,
  faultTable,
  type Leaks,
  provenRules,
  REQUIREMENT_RULE,
  type Runs,
  type Watcher,
} from "../../runs/index.ts";
import type { AnyRule } from "./definition.ts";
import { parametersFor } from "./parameters.ts";

/** The runs of a protocol with what all rules watch for: as planned, and with one leak. Each is gone through when it is first asked for. */
export interface RunsFor {
  readonly runs: Runs;
  readonly leaks: Runs;
  /** For rules that hold, the bounds on times that they lean on and the team cannot enforce. */
  readonly assumptionsOf: (holding: readonly string[]) => ReadonlyMap<string, readonly Assumption[]>;
  /** What single faults do to the rules over runs that hold without one. */
  readonly faults: (holding: readonly string[]) => FaultTable;
}

export function runsFor(protocol: Protocol, rules: readonly AnyRule[], isCancelled?: () => boolean): RunsFor {
  const watching = [...rules.filter(({ watch }) => watch).map(({ id }) => id), REQUIREMENT_RULE].sort();
  const cancelling = isCancelled && { isCancelled };
  const explore = (leaks?: Leaks, of = protocol) =>
    exploreRuns(of, {
      watchers: watchersOf(of, rules),
      timing: timingOf(of),
      ...(leaks && { leaks }),
      ...cancelling,
    });
  let runs: Runs | undefined;
  let leaks: Runs | undefined;
  return {
    get runs() {
      runs ??= explore();
      return runs;
    },
    get leaks() {
      leaks ??= explore("one");
      return leaks;
    },
    assumptionsOf: (holding) => {
      const asked = holding.filter((rule) => watching.includes(rule));
      const timing = timingOf(protocol);
      const watchers = watchersOf(protocol, rules).filter(({ rule }) => asked.includes(rule));
      const provenWithout = provenRules(protocol, asked, { watchers, timing, ...cancelling });
      return assumptionsOf(protocol, timing, asked, provenWithout);
    },
    faults: (holding) =>
      faultTable(protocol, {
        rules: watching.filter((rule) => holding.includes(rule)),
        notAsked: watching.filter((rule) => !holding.includes(rule)),
        explore: (faulty, withLeaks) => explore(withLeaks, faulty),
      }),
  };
}

/** What the rules watch for in a protocol, with the parameters its local rules set. */
export function watchersOf(protocol: Protocol, rules: readonly AnyRule[]): Watcher[] {
  const numberOf = (rule: Pick<AnyRule, "id" | "parameters">, name: string) =>
    parametersFor(rule, protocol.localRules)(name).value.valueOf();
  const parameterOf = (id: string, name: string) => {
    const rule = rules.find((one) => one.id === id);
    if (!rule) throw new Error(`there is no rule ${id}`);
    return numberOf(rule, name);
  };
  return rules.flatMap((rule): Watcher[] => {
    if (!rule.watch) return [];
    const parameter = (name: string) => numberOf(rule, name);
    const checksAt = rule.watch({ protocol, cuffs: cuffNames(protocol), parameter, parameterOf });
    return [{ rule: rule.id, checksAt, ...(rule.watchesEmergencies && { inEmergencies: true }) }];
  });
}

/** How long actions take, by the general parameters; every bound is relied on. */
export function timingOf(protocol: Protocol) {
  const parameter = parametersFor({ id: "", parameters: [] }, protocol.localRules);
  return {
    actionTime: parameter("action-time").value.valueOf(),
    cuffActionTime: parameter("cuff-action-time").value.valueOf(),
    doses: protocol.doses,
    dropped: new Set<string>(),
  };
}
