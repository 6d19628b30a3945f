import type { Protocol } from "../model/index.ts";
import { cuffNames, exploreRuns, type Leaks, type Runs, type Watcher } from "../runs/index.ts";
import { parametersFor } from "./parameters.ts";
import type { Rule } from "./rule.ts";

/** The runs of a protocol with what all rules watch for: as planned, and with one leak. Each is gone through when it is first asked for. */
export interface RunsFor {
  readonly runs: Runs;
  readonly leaks: Runs;
}

export function runsFor(protocol: Protocol, rules: readonly Rule[], isCancelled?: () => boolean): RunsFor {
  const known = new Map<Leaks | "none", Runs>();
  const runsWith = (leaks?: Leaks): Runs => {
    const key = leaks ?? "none";
    const runs =
      known.get(key) ??
      exploreRuns(protocol, {
        watchers: watchersOf(protocol, rules),
        timing: timingOf(protocol),
        ...(leaks && { leaks }),
        ...(isCancelled && { isCancelled }),
      });
    known.set(key, runs);
    return runs;
  };
  return {
    get runs() {
      return runsWith();
    },
    get leaks() {
      return runsWith("one");
    },
  };
}

/** What the rules watch for in a protocol, with the parameters its local rules set. */
export function watchersOf(protocol: Protocol, rules: readonly Rule[]): Watcher[] {
  const numberOf = (rule: Pick<Rule, "id" | "parameters">, name: string) =>
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

/** How long actions take, by the general parameters; `dropped` names bounds that are not relied on. */
export function timingOf(protocol: Protocol, dropped: ReadonlySet<string> = new Set()) {
  const parameter = parametersFor({ id: "", parameters: [] }, protocol.localRules);
  return {
    actionTime: parameter("action-time").value.valueOf(),
    cuffActionTime: parameter("cuff-action-time").value.valueOf(),
    doses: protocol.doses,
    dropped,
  };
}
