import { readFileSync } from "node:fs";
import { join } from "node:path";
import { LineCounter, parseDocument } from "yaml";
import { root } from "./files.mjs";

/** The groups of the catalogue, as its types list them. */
export const GROUPS = wordsOf("language/rules/engine/definition.ts", "Group");

const SEVERITIES = wordsOf("shared/finding/finding.ts", "Severity");
const SEEN = wordsOf("language/rules/sources/sources.ts", "Seen");
const YES_OR_NO = oneOf(["yes", "no"]);

/**
 * What a rule asks for, as the head of its page says it, and the page below that head. `known` are the sources, the citations
 * that several rules share, and the names of the hazards. What the head says wrong is thrown, in words for whoever writes it.
 */
export function readRulePage(id, text, known) {
  const place = `language/rules/${id}/page.md`;
  const parts = /^---\n(.*?\n)---\n+(.*)$/s.exec(text);
  if (!parts) throw mistake(place, "begins with what the rule asks for, between two lines of ---");
  const fields = {
    title: textOf,
    group: oneOf(GROUPS),
    severity: oneOf(SEVERITIES),
    worst: optional(oneOf(SEVERITIES)),
    acceptable: optional(oneOf(["no", "if-doubtful"])),
    "accepted-up-to": optional(eachOf(textOf)),
    "judged-on-date": optional(YES_OR_NO),
    "draft-only": optional(YES_OR_NO),
    why: textOf,
    hazards: optional(eachOf(oneOf(known.hazards))),
    parameters: optional(eachOf((value, at) => parameterOf(value, at, known.sources))),
    sources: optional(citationsFrom(known)),
  };
  const head = fieldsOf(mapOf(parts[1], place, 1), fields, place);
  const { title, group, severity, why, hazards = [], sources = [], parameters = [] } = head;
  const upTo = head["accepted-up-to"];
  if (upTo && !head.acceptable) {
    throw mistake(
      `${place}, accepted-up-to`,
      "needs `acceptable: no` or `if-doubtful`: without a value nothing unsafe is accepted then",
    );
  }
  const stated = {
    ...{ id, title, group, severity, why, hazards, sources, parameters },
    ...(head.worst && { worst: head.worst }),
    ...(head.acceptable === "no" && { acceptable: false }),
    ...(head.acceptable === "if-doubtful" && { acceptable: "doubtful" }),
    ...(upTo && { acceptedUpTo: upTo }),
    ...(head["judged-on-date"] === "yes" && { judgedOnDate: true }),
    ...(head["draft-only"] === "yes" && { draftOnly: true }),
  };
  return { stated, page: parts[2] };
}

/** The sources of one file, by their ids. */
export function readSources(file, text) {
  const fields = { title: textOf, address: optional(textOf), seen: oneOf(SEEN) };
  const entries = Object.entries(mapOf(text, file));
  return Object.fromEntries(entries.map(([id, value]) => [id, fieldsOf(value, fields, `${file}, ${id}`)]));
}

/** The citations that several rules share, by their names. */
export function readSharedCitations(file, text, sources) {
  const read = citationsFrom({ sources, shared: {} });
  return Object.fromEntries(
    Object.entries(mapOf(text, file)).map(([name, value]) => [name, read(value, `${file}, ${name}`)]),
  );
}

/** The hazard log, by the names of its hazards; what shows one is one of `rules`. */
export function readHazards(file, text, rules) {
  const fields = {
    title: textOf,
    causes: eachOf(textOf),
    effect: textOf,
    "shown-by": oneOf(rules),
    drafts: optional(eachOf(textOf)),
    people: eachOf(textOf),
    unguarded: eachOf(textOf),
    "in-short": optional(textOf),
  };
  const read = ([id, value]) => {
    const {
      title,
      causes,
      effect,
      drafts = [],
      people,
      unguarded,
      ...others
    } = fieldsOf(value, fields, `${file}, ${id}`);
    const [shownBy, inShort] = [others["shown-by"], others["in-short"]];
    const stated = { id, title, causes, effect, shownBy, drafts, people, unguarded };
    return inShort === undefined ? stated : { ...stated, inShort };
  };
  return Object.entries(mapOf(text, file)).map(read);
}

function parameterOf(value, place, sources) {
  const hasChoices = typeof value === "object" && "choices" in value;
  const { choices, unit, ...parameter } = fieldsOf(
    value,
    {
      name: textOf,
      title: textOf,
      ...(hasChoices ? { choices: eachOf(textOf) } : { unit: textOf }),
      standard: hasChoices ? oneOf([value.choices].flat()) : numberOf,
      tighter: optional(oneOf(["higher", "lower"])),
      bound: optional(numberOf),
      lowest: optional(numberOf),
      highest: optional(numberOf),
      source: optional(oneOf(Object.keys(sources))),
    },
    place,
  );
  const { name, title, standard, ...others } = parameter;
  if (others.bound !== undefined && others.tighter === undefined) {
    throw mistake(`${place}, bound`, "needs `tighter`, which says on which side of it a value may be");
  }
  const hasBounds =
    others.bound !== undefined || (others.lowest !== undefined && others.highest !== undefined);
  if (!hasChoices && !hasBounds) {
    throw mistake(place, "needs a bound: `bound` with `tighter`, or `lowest` and `highest`");
  }
  const unitless = hasChoices || unit === "none";
  return { name, title, unit: unitless ? "" : unit, standard, ...others, ...(choices && { choices }) };
}

/** Reads a list of citations. One that several texts make together stands for one of each. */
function citationsFrom({ sources, shared }) {
  const source = oneOf(Object.keys(sources));
  const fields = {
    source: (value, place) => [value].flat().map((id) => source(id, place)),
    says: textOf,
    disagrees: optional(YES_OR_NO),
  };
  const read = (value, place) => {
    if (typeof value === "object" && "shared" in value) {
      return shared[fieldsOf(value, { shared: oneOf(Object.keys(shared)) }, place).shared];
    }
    const { source: ids, says, disagrees } = fieldsOf(value, fields, place);
    return ids.map((id) => ({ source: id, says, ...(disagrees === "yes" && { disagrees: true }) }));
  };
  return (value, place) => eachOf(read)(value, place).flat();
}

/** A map of texts, lists and maps: nothing in it is read as a number or a truth value, so `0.50` stays what it is. */
function mapOf(text, file, linesBefore = 0) {
  const lines = new LineCounter();
  const document = parseDocument(text, { schema: "failsafe", lineCounter: lines, prettyErrors: false });
  const [error] = document.errors;
  if (error) {
    const line = lines.linePos(error.pos[0]).line + linesBefore;
    throw mistake(
      `${file}, line ${line}`,
      `is no YAML (${error.message}); a text with a colon in it stands in quotes`,
    );
  }
  const value = document.toJS();
  if (!isMap(value)) throw mistake(file, "is a list of names, each with its value");
  return value;
}

/** The fields of a map in the order in which they are asked for. */
function fieldsOf(value, fields, place) {
  if (!isMap(value)) throw mistake(place, `has the fields ${Object.keys(fields).join(", ")}`);
  const unknown = Object.keys(value).find((name) => !(name in fields));
  if (unknown !== undefined) {
    throw mistake(
      `${place}, ${unknown}`,
      `is no field here; the fields are ${Object.keys(fields).join(", ")}`,
    );
  }
  const read = Object.entries(fields).map(([name, of]) => [name, of(value[name], `${place}, ${name}`)]);
  return Object.fromEntries(read.filter(([, one]) => one !== undefined));
}

function isMap(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function optional(read) {
  return (value, place) => (value === undefined ? undefined : read(value, place));
}

function eachOf(read) {
  return (value, place) => {
    if (!Array.isArray(value) || value.length === 0) throw mistake(place, "is a list");
    return value.map((one, index) => read(one, `${place} ${index + 1}`));
  };
}

function textOf(value, place) {
  if (value === undefined) throw mistake(place, "is missing");
  if (typeof value !== "string" || value === "") throw mistake(place, "is a text");
  return value;
}

function numberOf(value, place) {
  const text = textOf(value, place);
  if (!/^\d+(\.\d+)?$/.test(text)) throw mistake(place, `is a number such as 30 or 0.5, not "${text}"`);
  return text;
}

function oneOf(words) {
  return (value, place) => {
    const word = textOf(value, place);
    if (!words.includes(word)) throw mistake(place, `is one of ${words.join(", ")}, not "${word}"`);
    return word;
  };
}

function mistake(place, what) {
  return new Error(`${place} ${what}.`);
}

/** The words that a type of ours allows, so that what is read here is what the compiler takes. */
function wordsOf(file, type) {
  const declared = new RegExp(`export type ${type} =([^;]*);`).exec(readFileSync(join(root, file), "utf8"));
  return [...declared[1].matchAll(/"([^"]+)"/g)].map(([, word]) => word);
}
