import { pointer, type RuleFileFault, valueAt } from "./fault.ts";
import { type FormType, formOf, partOf } from "./form.ts";
import type { Origin, Parts, RuleFile } from "./generated/rule-file.ts";

/**
 * Where the parts of a file do not fit together, which a schema cannot tell: names that nothing in the file
 * has, names that two things have, and a source map that leads nowhere.
 */
export function referenceFaults(file: RuleFile): RuleFileFault[] {
  const names: Name[] = [];
  collect(names, { is: "part", part: "RuleFile" }, file, { path: "", within: "", fields: {} });
  return [...nameFaults(names, file), ...originFaults(file)];
}

type Fields = Readonly<Record<string, unknown>>;

/** Where a value stands: its path, and the part it is a field of. */
interface ValuePlace {
  readonly path: string;
  readonly within: string;
  readonly fields: Fields;
}

/** A name, or a number, by which something in a file is known or referred to. */
interface Name extends ValuePlace {
  readonly kind: string;
  readonly name: string | number;
  readonly own: boolean;
}

function collect(names: Name[], type: FormType, value: unknown, place: ValuePlace): void {
  if (type.is === "part") collectPart(names, type.part, value, place);
  if (type.is === "list") {
    for (const [at, item] of (value as readonly unknown[]).entries()) {
      const path = pointer(place.path, at);
      collect(names, type.of, item, { ...place, path, within: path });
    }
  }
  if (type.is === "name" && (typeof value === "string" || typeof value === "number")) {
    const kind = type.kind ?? String(place.fields[type.by ?? ""]);
    names.push({ ...place, kind, name: value, own: type.own === true });
  }
}

function collectPart(names: Name[], name: keyof Parts, value: unknown, place: ValuePlace): void {
  const part = formOf(name);
  if (part.names.length === 0) return;
  if (part.is === "choice") {
    const chosen = isFields(value)
      ? ({ is: "part", part: partOf(part.of, value) } as const)
      : part.of.find(({ is }) => (is === "name") === (typeof value === "number"));
    if (chosen) collect(names, chosen, value, place);
  } else if (part.is === "fields") {
    const fields = value as Fields;
    for (const [key, { type }] of Object.entries(part.fields)) {
      if (fields[key] === undefined) continue;
      collect(names, type, fields[key], { path: pointer(place.path, key), within: place.path, fields });
    }
  }
}

function isFields(value: unknown): value is Fields {
  return typeof value === "object" && value !== null;
}

function nameFaults(names: readonly Name[], file: RuleFile): RuleFileFault[] {
  const known = new Map<string, Set<string | number>>();
  const twice: RuleFileFault[] = [];
  for (const { kind, name, within } of names.filter(({ own }) => own)) {
    const others = known.get(kind) ?? new Set();
    // The steps of a routine stand in a file as often as it is done, with the stages among them.
    if (others.has(name) && kind !== "stage") twice.push(calledTwice(String(name), within));
    known.set(kind, others.add(name));
  }
  const nothing = names.filter(({ own }) => !own).flatMap((one) => unknownFault(one, known, file) ?? []);
  return [...twice, ...nothing];
}

function unknownFault(
  { kind, name, path, within, fields }: Name,
  known: ReadonlyMap<string, ReadonlySet<string | number>>,
  { protocol, runs }: RuleFile,
): RuleFileFault | undefined {
  if (typeof name === "number") {
    const numbered: Fields = runs.kind === "explored" ? { ...runs.automaton } : {};
    return name < (numbered[`${kind}s`] as readonly unknown[]).length
      ? undefined
      : noSuchNumber(kind, name, path);
  }
  if (kind === "cuff") {
    const isKnown = protocol.cuffs.cuffs.some((cuff) => cuff.name === name && cuff.label === fields.label);
    return isKnown ? undefined : nothingCalled("cuff with that label", name, within);
  }
  return known.get(kind)?.has(name) ? undefined : nothingCalled(kind, name, path);
}

function noSuchNumber(what: string, number: number, where: string): RuleFileFault {
  return {
    where,
    what: `There is no ${what} ${number} in this file.`,
    why: "A program that followed it would stand nowhere.",
  };
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

/** Something refers to a thing by a name that nothing in the file has. */
function nothingCalled(kind: string, name: string, where: string): RuleFileFault {
  return {
    where,
    what: `No ${kind} of this file is called \`${name}\`.`,
    why: "What is meant by it cannot be told.",
  };
}

/** Two things have one name. */
function calledTwice(name: string, where: string): RuleFileFault {
  return { where, what: `\`${name}\` stands twice.`, why: "Which of the two is meant cannot be told." };
}
