import { calledTwice, nothingCalled, pointer, type RuleFileFault, valueAt } from "./fault.ts";
import type { Cuff, Origin, Protocol, RuleFile } from "./generated/rule-file.ts";
import { runFaults } from "./run-references.ts";

/**
 * Where the parts of a file do not fit together, which a schema cannot tell: names that nothing in the file
 * has, names that two things have, and a source map that leads nowhere.
 */
export function referenceFaults(file: RuleFile): RuleFileFault[] {
  return [...nameFaults(file.protocol), ...verdictFaults(file), ...runFaults(file), ...originFaults(file)];
}

function nameFaults(protocol: Protocol): RuleFileFault[] {
  const faults: RuleFileFault[] = [];
  const named = {
    agent: namesOf(protocol.agents, "/protocol/agents", faults),
    dose: namesOf(protocol.doses, "/protocol/doses", faults),
    timer: namesOf(protocol.timers, "/protocol/timers", faults),
    emergency: namesOf(protocol.emergencies, "/protocol/emergencies", faults),
    stage: new Set(stageNames(protocol)),
  };
  namesOf(protocol.cuffs.cuffs, "/protocol/cuffs/cuffs", faults);
  namesOf(protocol.events, "/protocol/events", faults);
  walk(protocol, "/protocol", (value, path) => {
    for (const { kind, name, where } of referencesIn(value, path)) {
      if (!named[kind].has(name)) faults.push(nothingCalled(kind, name, where));
    }
    for (const [cuff, where] of cuffsIn(value, path)) {
      const known = protocol.cuffs.cuffs.some(
        ({ name, label }) => name === cuff.name && label === cuff.label,
      );
      if (!known) faults.push(nothingCalled("cuff with that label", cuff.name, where));
    }
  });
  return faults;
}

type Kind = "agent" | "dose" | "timer" | "emergency" | "stage";

interface Reference {
  readonly kind: Kind;
  readonly name: string;
  readonly where: string;
}

type Fields = Readonly<Record<string, unknown>>;

/** Every other name by which an element of the protocol refers to another one. */
function referencesIn(value: Fields, path: string): Reference[] {
  const found: Reference[] = [];
  for (const kind of ["agent", "dose", "timer", "emergency", "stage"] as const) {
    const name = value[kind];
    if (typeof name === "string") found.push({ kind, name, where: pointer(path, kind) });
  }
  if (value.kind === "at-hand") {
    for (const [index, name] of (value.agents as string[]).entries()) {
      found.push({ kind: "agent", name, where: pointer(pointer(path, "agents"), index) });
    }
  }
  if (typeof value.target === "string") {
    const kind = value.targetKind === "dose" ? "dose" : "stage";
    found.push({ kind, name: value.target, where: pointer(path, "target") });
  }
  return found;
}

function cuffsIn(value: Fields, path: string): [Cuff, string][] {
  const single = value.cuff;
  const on = Array.isArray(value.on) ? (value.on as Cuff[]) : [];
  return [
    ...(typeof single === "object" ? [[single as Cuff, pointer(path, "cuff")] as [Cuff, string]] : []),
    ...on.map((cuff, index): [Cuff, string] => [cuff, pointer(pointer(path, "on"), index)]),
  ];
}

function stageNames(protocol: Protocol): string[] {
  const names: string[] = [];
  walk(protocol, "", (value) => {
    if (value.kind === "stage" && typeof value.name === "string") names.push(value.name);
  });
  return names;
}

function walk(value: unknown, path: string, visit: (value: Fields, path: string) => void): void {
  if (typeof value !== "object" || value === null) return;
  if (!Array.isArray(value)) visit(value as Fields, path);
  for (const [key, inner] of Object.entries(value)) walk(inner, pointer(path, key), visit);
}

function namesOf(list: readonly { readonly name: string }[], path: string, faults: RuleFileFault[]) {
  const names = new Set<string>();
  for (const [index, { name }] of list.entries()) {
    if (names.has(name)) faults.push(calledTwice(name, pointer(path, index)));
    names.add(name);
  }
  return names;
}

function verdictFaults({ proof }: RuleFile): RuleFileFault[] {
  const faults: RuleFileFault[] = [];
  const rules = new Set<string>();
  for (const [index, { rule }] of proof.verdicts.entries()) {
    if (rules.has(rule)) faults.push(calledTwice(rule, `/proof/verdicts/${index}`));
    rules.add(rule);
  }
  return faults;
}

function originFaults(file: RuleFile): RuleFileFault[] {
  const why = "What was found could be looked for in the wrong place.";
  return Object.entries(file.origins).flatMap(([path, origin]) => {
    const where = pointer("/origins", path);
    if (valueAt(file, path) === undefined) {
      return [{ where, what: `\`${path}\` leads to nothing in this file.`, why }];
    }
    if (origin.source >= file.sources.length) {
      return [{ where, what: `There is no source ${origin.source}.`, why }];
    }
    return isBackward(origin) ? [{ where, what: "The place ends before it starts.", why }] : [];
  });
}

function isBackward({ start, end }: Origin): boolean {
  return end.line < start.line || (end.line === start.line && end.column < start.column);
}
