import type { Finding, Origin } from "@limbwright/shared/finding";
import { UNITS } from "@limbwright/shared/quantity";
import type { Site } from "../lower/site.ts";
import {
  KNOWN_CONDITIONS,
  KNOWN_EVENTS,
  MONITORS,
  PLACES,
  TASK_TOPICS,
  TISSUE_PLACES,
} from "../model/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { isAcceptable } from "../rules/engine/acceptances.ts";
import { type BlockAt, blockAt } from "./block-at.ts";
import { originOfRange } from "./folds.ts";
import { type NameKind, namesIn, protocolAround } from "./names.ts";
import { BEFORE_TIMES, statementsIn } from "./statement-templates.ts";

export type CompletionKind = NameKind | "statement" | "word" | "unit" | "rule" | "file";

/** Something that can stand at the cursor. */
export interface Completion {
  readonly label: string;
  readonly kind: CompletionKind;
  readonly detail: string;
  /** What is written in place of the word being typed; a template has places to fill in (`${1:words}`). */
  readonly text: string;
  readonly isTemplate: boolean;
}

export interface Completions {
  readonly items: readonly Completion[];
  /** What they are written in place of: the word being typed. */
  readonly replaced: Origin;
}

/**
 * What can stand at an offset of a file; `files` are those that a `use` may name, as it would, `findings` what stands found now. Nothing
 * in a comment or a text.
 */
export function completionsAt(
  site: Site,
  file: string,
  offset: number,
  files: readonly string[],
  findings: readonly Finding[] = [],
): Completions | undefined {
  const document = site.documentOf(file);
  if (!document) return undefined;
  const text = document.textDocument.getText();
  const at = blockAt(text, Math.min(offset, text.length));
  const replaced = originOfRange(document, { offset: Math.max(offset - at.typed.length, 0), end: offset });
  if (at.isInText)
    return { items: /^use\b/.test(at.before) ? files.map((one) => plain(one, "file")) : [], replaced };
  const rule = /^accept ([\w-]+) of$/.exec(at.before)?.[1];
  const items =
    rule === undefined
      ? itemsAt(site, file, offset, at)
      : subjects(findings.filter((one) => one.rule === rule));
  return { items, replaced };
}

/** What some findings are about, as an acceptance names it; nothing of those that nobody may accept or that are accepted already. */
function subjects(findings: readonly Finding[]): Completion[] {
  const open = findings.filter(
    ({ rule, severity, limitUnit, accepted }) =>
      !accepted &&
      catalogue.some(
        (one) =>
          one.id === rule && (isAcceptable(one, severity) || (one.acceptedUpTo && limitUnit !== undefined)),
      ),
  );
  const about = open.flatMap(({ subject, what }) => (subject ? [[subject, what] as const] : []));
  return [...new Map(about)].map(([subject, what]) =>
    plain(/^[A-Za-z_]\w*(?:-\w+)*$/.test(subject) ? subject : `"${subject}"`, "word", what),
  );
}

function itemsAt(site: Site, file: string, offset: number, at: BlockAt): Completion[] {
  const block = at.blocks.at(-1) ?? "";
  if (at.before === "") {
    return statementsIn(block).map(({ word, says, template }) => ({
      label: word,
      kind: "statement",
      detail: says,
      text: template,
      isTemplate: template !== word,
    }));
  }
  const found = AFTER.find(({ words, blocks }) => words.test(at.before) && (blocks?.includes(block) ?? true));
  const names = (kinds: readonly NameKind[]) => (kinds.length > 0 ? namesOf(site, file, offset, kinds) : []);
  return found ? [...names(found.names ?? []), ...(found.gives?.() ?? [])] : [];
}

/** What may follow some words of a line: names of some kinds, and words. The first that fits counts. */
interface After {
  readonly words: RegExp;
  readonly blocks?: readonly string[];
  readonly names?: readonly NameKind[];
  readonly gives?: () => Completion[];
}

const NUMBER = String.raw`(?:^|\s)\d[\d.]*$`;

/** The rules of which something unsafe is accepted up to a value. */
const UP_TO = catalogue.filter(({ acceptedUpTo }) => acceptedUpTo).map(({ id }) => id);

const AFTER: readonly After[] = [
  { words: new RegExp(`^(?:amount|rate|total|with)\\b.*${NUMBER}`), gives: () => units(["mass", "volume"]) },
  { words: new RegExp(`^(?:pressure|ceiling|systolic)\\b.*${NUMBER}`), gives: () => units(["pressure"]) },
  { words: new RegExp(`^(?:fits|circumference)\\b.*${NUMBER}`), gives: () => units(["length"]) },
  { words: new RegExp(`^weight\\b.*${NUMBER}`), gives: () => units(["weight"]) },
  { words: new RegExp(`^age\\b.*${NUMBER}`), gives: () => units(["age"]) },
  {
    words: new RegExp(`^(?:concentration|supplied as)\\b.*${NUMBER}`),
    gives: () => units(["mass", "volume"]).filter(({ label }) => label === "%" || label.endsWith("/mL")),
  },
  {
    words: new RegExp(NUMBER),
    blocks: ["bands"],
    gives: () => [["weight"], ["age"], ["mass", "volume"], ["pressure"]].flatMap(units),
  },
  { words: new RegExp(`^syringe\\b.*${NUMBER}`), gives: () => units(["volume"]) },
  { words: new RegExp(`^maximum\\b.*${NUMBER}`), gives: () => units(["mass", "volume"]) },
  {
    words: new RegExp(
      `^(?:over|${BEFORE_TIMES.join("|")}|at least|at most|after|repeat .* every|exsanguinate|remove cannula press|when .* reaches|when .* not before|.*takes|set)\\b.*${NUMBER}`,
    ),
    gives: () => units(["time"]),
  },
  { words: /^(?:inflate|deflate|confirm)$/, names: ["cuff"], gives: () => words("all") },
  { words: /^deflate [\w-]+$/, gives: () => words("for emergency") },
  { words: /^deflate [\w-]+ for$/, gives: () => words("emergency") },
  { words: /^(?:inject|give)$/, names: ["dose"] },
  { words: /^give [\w-]+ as$/, gives: () => words(...TISSUE_PLACES) },
  { words: /^wait for$/, names: ["timer"] },
  { words: /^wait$/, gives: () => words("for") },
  { words: /^do$/, names: ["routine"] },
  { words: /^go to emergency$/, names: ["emergency"] },
  { words: /^go$/, gives: () => words("to emergency") },
  { words: /^end stage$/, names: ["stage"] },
  { words: /^(?:when|event)$/, blocks: ["scenario"], names: ["event"], gives: () => words(...KNOWN_EVENTS) },
  { words: /^when$/, names: ["event", "timer"], gives: () => words(...KNOWN_EVENTS) },
  { words: /^when [\w-]+ of$/, names: ["cuff"] },
  { words: /^(?:dose [\w-]+ of|with|answer maximum of|at-hand(?: .*,)?)$/, names: ["agent"] },
  { words: /^answer$/, blocks: ["local-rules"], gives: () => words("maximum of") },
  {
    words: /^(?:timer [\w-]+ from|run to)$/,
    gives: () => words("end of", "start of", "first inflation", "release"),
  },
  { words: /\b(?:end|start) of$/, names: ["dose", "stage"] },
  { words: /\b(?:end|start)$/, gives: () => words("of") },
  {
    words: /^(?:contraindicated|caution|allowed)$/,
    blocks: ["patients"],
    gives: () => words(...KNOWN_CONDITIONS),
  },
  { words: /^cuffs\b.*\bon$/, gives: () => words(...PLACES) },
  { words: /^kind$/, gives: () => words("local-anaesthetic", "adjuvant", "rescue") },
  { words: /^status$/, gives: () => words("draft", "in-review", "approved by", "retired") },
  { words: /^iv-access$/, gives: () => words("other-limb", "same-limb") },
  { words: /^monitoring(?: .*,)?$/, gives: () => words(...MONITORS) },
  { words: /^monitoring .*[\w-]$/, gives: () => words("every") },
  { words: /^task$/, gives: () => words(...TASK_TOPICS) },
  { words: /^(?:set|accept|expect .* refused by)$/, gives: rules },
  { words: /^accept [\w-]+$/, gives: () => words("of", "in") },
  { words: /^accept [\w-]+ of (?:[\w-]+|"[^"]*")$/, gives: () => words("in") },
  {
    words: new RegExp(`^accept .* up to${NUMBER}`),
    gives: () => units(["mass", "volume"]).concat(units(["time"]), units(["pressure"])),
  },
  { words: new RegExp(`^accept (?:${UP_TO.join("|")}) of [\\w-]+ in [\\w-]+$`), gives: () => words("up to") },
  { words: /^accept [\w-]+(?: of (?:[\w-]+|"[^"]*"))? in$|^scenario .*\bfor$/, names: ["protocol"] },
  { words: /^local-rules$/, names: ["local-rules"] },
  {
    words: /^(?:amount|pressure|rate)$/,
    gives: () => words("lesser of", "greater of", "half of", "by weight", "systolic", "occlusion-pressure"),
  },
  { words: /^(?:amount|pressure)\b.*\d\s*[A-Za-z/%]+$/, gives: () => words("up to", "rounded down to") },
  {
    words: /^(?:exsanguinate)$/,
    gives: () => words("by bandage", "by elevation", "by arterial-compression"),
  },
  { words: /^(?:insert|remove)$/, gives: () => words("cannula", "bandage") },
];

/** What is written as it is called. */
function plain(label: string, kind: CompletionKind, detail = ""): Completion {
  return { label, kind, detail, text: label, isTemplate: false };
}

function words(...all: readonly string[]): Completion[] {
  return all.map((word) => plain(word, "word"));
}

/** The accepted units that measure one of these and nothing that is none of them, but per weight or time. */
function units(measures: readonly string[]): Completion[] {
  const fit = UNITS.filter(({ dimension }) => {
    const bases = Object.entries(dimension)
      .filter(([, power]) => power > 0)
      .map(([base]) => base);
    return bases.length > 0 && bases.every((base) => measures.includes(base));
  });
  return fit.map(({ symbol }) => plain(symbol, "unit"));
}

function rules(): Completion[] {
  return catalogue.map(({ id, title }) => plain(id, "rule", title));
}

/** Names that hold at an offset: those inside another protocol do not. */
function namesOf(site: Site, file: string, offset: number, kinds: readonly NameKind[]): Completion[] {
  const around = protocolAround(site, file, offset);
  const visible = [file, ...(site.file(file)?.uses ?? [])];
  const declared = visible
    .flatMap((one) => namesIn(site, one)?.uses ?? [])
    .filter(
      ({ isDeclaration, protocol }) => isDeclaration && (protocol === undefined || protocol === around),
    );
  const fit = declared.filter(({ kind }) => kinds.includes(kind));
  const once = new Map(fit.map((use) => [use.name, use]));
  return [...once.values()].map(({ name, kind, origin }) =>
    plain(name, kind, origin.file === file ? kind : `${kind}, ${origin.file}`),
  );
}
