import type { Protocol } from "../../model/index.ts";
import {
  type Assumption,
  assumptionsOf,
  cuffNames,
  exploreLeaks,
  exploreRuns,
  exploreUntimedRuns,
  type FaultTable,
  faultTable,
  type Promised,
  type ProvenWithout,
  promisesOf,
  provenRules,
  REQUIREMENT_RULE,
  type Runs,
  type RunsWithLeak,
  type Timing,
  type Watcher,
} from "../../runs/index.ts";
import type { AnyRule } from "./definition.ts";
import { parametersFor } from "./parameters.ts";

/** The runs of a protocol with what all rules watch for: as planned, and with one leak. Each is gone through when it is first asked for. */
export interface RunsFor {
  readonly runs: Runs;
  readonly leaks: RunsWithLeak;
  /** For rules that hold, the bounds on times that they lean on and the team cannot enforce. */
  readonly assumptionsOf: (holding: readonly string[]) => ReadonlyMap<string, readonly Assumption[]>;
  /** For rules that hold, the tasks of which they lean on the longest time. */
  readonly promisesOf: (holding: readonly string[]) => readonly Promised[];
  /** What single faults do to the rules over runs that hold without one. */
  readonly faults: (holding: readonly string[]) => FaultTable;
}

export function runsFor(protocol: Protocol, rules: readonly AnyRule[], isCancelled?: () => boolean): RunsFor {
  const watching = [...rules.filter(({ watch }) => watch).map(({ id }) => id), REQUIREMENT_RULE].sort();
  const cancelling = isCancelled && { isCancelled };
  const optionsFor = (of: Protocol) => ({
    watchers: watchersOf(of, rules),
    timing: timingOf(of),
    ...cancelling,
  });
  let options: ReturnType<typeof optionsFor> | undefined;
  const ownOptions = () => (options ??= optionsFor(protocol));
  const askWithout = <Answer>(
    holding: readonly string[],
    ask: (of: Protocol, timing: Timing, asked: readonly string[], provenWithout: ProvenWithout) => Answer,
  ) => {
    const asked = holding.filter((rule) => watching.includes(rule));
    const { timing } = ownOptions();
    const watchers = ownOptions().watchers.filter(({ rule }) => asked.includes(rule));
    return ask(protocol, timing, asked, provenRules(protocol, asked, { ...ownOptions(), watchers }));
  };
  let runs: Runs | undefined;
  let leaks: RunsWithLeak | undefined;
  return {
    get runs() {
      runs ??= exploreRuns(protocol, ownOptions());
      return runs;
    },
    get leaks() {
      leaks ??= exploreLeaks(protocol, ownOptions());
      return leaks;
    },
    assumptionsOf: (holding) => askWithout(holding, assumptionsOf),
    promisesOf: (holding) => askWithout(holding, promisesOf),
    faults: (holding) =>
      faultTable(protocol, {
        rules: watching.filter((rule) => holding.includes(rule)),
        notAsked: watching.filter((rule) => !holding.includes(rule)),
        explore: (faulty, leaks) =>
          exploreUntimedRuns(faulty, { ...optionsFor(faulty), ...(leaks && { leaks }) }),
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
    const known = new Map<string, number>();
    const parameter = (name: string) => {
      const number = known.get(name) ?? numberOf(rule, name);
      known.set(name, number);
      return number;
    };
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
