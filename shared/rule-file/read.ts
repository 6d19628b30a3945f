import { meaningOf, proofOf } from "./digests.ts";
import type { RuleFileFault } from "./fault.ts";
import type { RuleFile } from "./generated/rule-file.ts";
import { validateRuleFile } from "./generated/validate-rule-file.js";
import { referenceFaults } from "./references.ts";
import { schemaFault } from "./schema-fault.ts";
import { shapeFault } from "./shape.ts";

/** How the name of a rule file ends, as `limb compile` writes it. */
export const RULE_FILE_SUFFIX = ".json";

/** A rule file holds a protocol with its tables and proofs; longer than this it is something else. */
export const MOST_RULE_FILE_BYTES = 50_000_000;

/** The number of the format that this reader knows. */
export const FORMAT = 6 as const;

/** How long the text of a rule file may be, in UTF-16 units. */
export const MOST_CHARACTERS = 16_000_000;

export type RuleFileReading =
  | { readonly kind: "read"; readonly file: RuleFile }
  | { readonly kind: "refused"; readonly faults: readonly [RuleFileFault, ...RuleFileFault[]] };

/**
 * Reads the text of a rule file. It is refused when it is too long, no JSON, of another format, not what the
 * schema asks (also: a field that is not known), when it names something it does not hold, or when a digest
 * is not that of its contents. It need not be in canonical form: spaces and the order of fields are free.
 */
export function readRuleFile(text: string): RuleFileReading {
  if (text.length > MOST_CHARACTERS) {
    return refused({
      where: "",
      what: `The file is longer than ${MOST_CHARACTERS / 1_000_000} million characters.`,
      why: "No protocol needs that, and a reader could exhaust the memory of its computer.",
    });
  }
  const value = parsed(text);
  if (value === NO_JSON) {
    return refused({
      where: "",
      what: "The text is not JSON.",
      why: "It may have been cut off, or it is another kind of file.",
    });
  }
  const fault = shapeFault(text) ?? formatFault(value);
  if (fault) return refused(fault);
  if (!validateRuleFile(value)) return refused(schemaFault(validateRuleFile.errors ?? []));
  const file = value as RuleFile;
  const [first, ...others] = [...referenceFaults(file), ...digestFaults(file)];
  return first ? refused(first, ...others) : { kind: "read", file };
}

const NO_JSON = Symbol("no JSON");

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return NO_JSON;
  }
}

function refused(...faults: [RuleFileFault, ...RuleFileFault[]]): RuleFileReading {
  return { kind: "refused", faults };
}

/** The first format whose ages are completed years, and the first in which an emergency is plan unless toxicity signs lead to it. */
const COMPLETED_AGES = 4;
const EMERGENCIES_ARE_PLAN = 5;

/** Said before the schema speaks: a file of another format would only give a puzzling complaint. */
function formatFault(value: unknown): RuleFileFault | undefined {
  const format = (value as { readonly format?: unknown } | null)?.format;
  if (format === FORMAT) return undefined;
  if (typeof format === "number") {
    return {
      where: "/format",
      what: `The file has format ${format}; this reader knows format ${FORMAT}.`,
      why: ["Fields can mean something else in another format.", ...otherMeanings(format)].join(" "),
    };
  }
  return {
    where: "/format",
    what: "This is no rule file: it names no format.",
    why: "Only rule files are read.",
  };
}

/** What a text of an earlier format would be taken for. */
function otherMeanings(format: number): string[] {
  const ages = `Before format ${COMPLETED_AGES}, an age "to 64 years" ended on the 64th birthday, and now does on the day before the 65th.`;
  const emergencies = `Before format ${EMERGENCIES_ARE_PLAN}, no time and no cuff was judged in an emergency; now they are, but after signs of toxicity.`;
  return [
    ...(format < COMPLETED_AGES ? [ages] : []),
    ...(format < EMERGENCIES_ARE_PLAN ? [emergencies] : []),
  ];
}

function digestFaults(file: RuleFile): RuleFileFault[] {
  const digests = digestsOf(file);
  if (!digests) {
    return [{ where: "", what: "A text holds half a character.", why: "No digest can be told of it." }];
  }
  const why = "The file was changed after it was compiled.";
  const wrong = (["meaning", "proof"] as const).filter((one) => file.digests[one] !== digests[one]);
  return wrong.map((one) => {
    const of = one === "meaning" ? "protocol" : "verdicts";
    return { where: `/digests/${one}`, what: `The digest is not that of the ${of} in the file.`, why };
  });
}

/** Undefined where a text holds half a character: JSON can write it, the canonical form cannot. */
function digestsOf(file: RuleFile): { meaning: string; proof: string } | undefined {
  try {
    return { meaning: meaningOf(file.protocol), proof: proofOf(file) };
  } catch {
    return undefined;
  }
}
