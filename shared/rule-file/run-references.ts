import { calledTwice, nothingCalled, pointer, type RuleFileFault } from "./fault.ts";
import type { Automaton, RuleFile, RunCondition, RunsExplored } from "./generated/rule-file.ts";

/** Names and numbers in what a file says of its runs that nothing in it has. */
export function runFaults({ protocol, proof, runs }: RuleFile): RuleFileFault[] {
  if (runs.kind === "not-explored") return [];
  const faults: RuleFileFault[] = [];
  const known: Known = {
    rule: new Set(proof.verdicts.map(({ rule }) => rule)),
    timer: new Set(protocol.timers.map(({ name }) => name)),
    dose: new Set(protocol.doses.map(({ name }) => name)),
    clock: namesOf(runs.automaton.clocks, "/runs/automaton/clocks", faults),
    variable: namesOf(
      runs.automaton.variables.map(({ name }) => name),
      "/runs/automaton/variables",
      faults,
    ),
    location: runs.automaton.locations.length,
    check: runs.automaton.checks.length,
  };
  for (const { what, to, where } of referencesOf(runs)) {
    const kind = known[what];
    if (typeof kind === "number") {
      if (Number(to) >= kind) faults.push(noSuchNumber(what, Number(to), where));
    } else if (!kind.has(String(to))) {
      faults.push(nothingCalled(what, String(to), where));
    }
  }
  return faults;
}

type Names = ReadonlySet<string>;

/** The names that there are, and of what is called by its number, how many there are. */
interface Known {
  readonly rule: Names;
  readonly timer: Names;
  readonly dose: Names;
  readonly clock: Names;
  readonly variable: Names;
  readonly location: number;
  readonly check: number;
}

interface Reference {
  readonly what: keyof Known;
  readonly to: string | number;
  readonly where: string;
}

function referencesOf({ automaton, timers, endedBy, given }: RunsExplored): Reference[] {
  const path = "/runs/automaton";
  return [
    ...timers.flatMap(({ name, clock, runs }, at): Reference[] => [
      ...(name === undefined ? [] : [{ what: "timer" as const, to: name, where: `/runs/timers/${at}/name` }]),
      { what: "clock", to: clock, where: `/runs/timers/${at}/clock` },
      ...inCondition(runs, `/runs/timers/${at}/runs`),
    ]),
    ...endedBy.map((to, at): Reference => ({ what: "rule", to, where: `/runs/endedBy/${at}` })),
    ...given.flatMap(({ doses }, at) =>
      doses.map(
        ({ dose }, index): Reference => ({
          what: "dose",
          to: dose,
          where: `/runs/given/${at}/doses/${index}/dose`,
        }),
      ),
    ),
    { what: "location", to: automaton.initial, where: `${path}/initial` },
    ...inLocations(automaton, `${path}/locations`),
    ...inEdges(automaton, `${path}/edges`),
    ...inChecks(automaton, `${path}/checks`),
  ];
}

function inLocations({ locations }: Automaton, path: string): Reference[] {
  return locations.flatMap(({ atMost, checks }, at) => [
    ...inClocks(atMost, `${path}/${at}/atMost`),
    ...numbers("check", checks, `${path}/${at}/checks`),
  ]);
}

function inEdges({ edges }: Automaton, path: string): Reference[] {
  return edges.flatMap(({ from, to, when, guard, set = [], reset = [], checks }, at) => {
    const where = `${path}/${at}`;
    return [
      ...numbers("location", from, `${where}/from`),
      ...(typeof to === "number" ? [{ what: "location" as const, to, where: `${where}/to` }] : []),
      ...inCondition(when, `${where}/when`),
      ...inClocks(guard, `${where}/guard`),
      ...set.flatMap((one, index): Reference[] => [
        { what: "variable", to: one.variable, where: `${where}/set/${index}/variable` },
        ...inCondition(one.when, `${where}/set/${index}/when`),
      ]),
      ...inClocks(reset, `${where}/reset`),
      ...reset.flatMap((one, index) => inCondition(one.when, `${where}/reset/${index}/when`)),
      ...numbers("check", checks, `${where}/checks`),
    ];
  });
}

function inChecks({ checks }: Automaton, path: string): Reference[] {
  return checks.flatMap(({ rule, when, clocks }, at): Reference[] => [
    { what: "rule", to: rule, where: `${path}/${at}/rule` },
    ...inCondition(when, `${path}/${at}/when`),
    ...inClocks(clocks, `${path}/${at}/clocks`),
  ]);
}

function inClocks(list: readonly { readonly clock: string }[] | undefined, path: string): Reference[] {
  return (list ?? []).map(({ clock }, at) => ({ what: "clock", to: clock, where: `${path}/${at}/clock` }));
}

function numbers(what: "location" | "check", list: readonly number[] | undefined, path: string): Reference[] {
  return (list ?? []).map((to, at) => ({ what, to, where: pointer(path, at) }));
}

function inCondition(condition: RunCondition | undefined, path: string): Reference[] {
  if (!condition) return [];
  if ("variable" in condition) {
    return [{ what: "variable", to: condition.variable, where: `${path}/variable` }];
  }
  if ("not" in condition) return inCondition(condition.not, `${path}/not`);
  if ("at" in condition) return numbers("location", condition.at, `${path}/at`);
  if ("interrupted" in condition) return numbers("location", condition.interrupted, `${path}/interrupted`);
  const [key, inner] =
    "all" in condition ? (["all", condition.all] as const) : (["any", condition.any] as const);
  return inner.flatMap((one, at) => inCondition(one, `${path}/${key}/${at}`));
}

function namesOf(list: readonly string[], path: string, faults: RuleFileFault[]): Names {
  const names = new Set<string>();
  for (const [at, name] of list.entries()) {
    if (names.has(name)) faults.push(calledTwice(name, pointer(path, at)));
    names.add(name);
  }
  return names;
}

function noSuchNumber(what: string, number: number, where: string): RuleFileFault {
  return {
    where,
    what: `There is no ${what} ${number} in this file.`,
    why: "A program that followed it would stand nowhere.",
  };
}
