import { canonicalText, pointer, type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";
import type { Protocol } from "../model/index.ts";
import { differencesBetween } from "../rule-file/differences.ts";
import { Marks } from "../rule-file/marks.ts";
import { rulesOfFile } from "../rule-file/proof.ts";
import { protocolPart, restoreProtocol } from "../rule-file/protocol.ts";
import { isJudgedAgain } from "../rule-file/verify.ts";
import { catalogue } from "../rules/catalogue.ts";
import { type JudgeOptions, judgeProtocol, type ProtocolJudgement } from "../rules/engine/judge.ts";

/** A version of a protocol that is kept as its rule file, with the protocol that the file was compiled from. */
export interface CompiledVersion {
  /** The path of the rule file. */
  readonly path: string;
  readonly file: RuleFile;
  readonly protocol: Protocol;
}

export type CompiledReading =
  | { readonly kind: "read"; readonly version: CompiledVersion }
  | {
      readonly kind: "refused";
      /** Sentences that say what is wrong with the file. */
      readonly because: string;
    };

/**
 * Reads a version from the text of its rule file. Refused where the file is no whole rule file, where its digests are not
 * those of its contents, or where it does not say of itself what its own formulas give.
 */
export function readCompiledVersion(path: string, text: string): CompiledReading {
  const reading = readRuleFile(text);
  if (reading.kind === "refused") {
    const [{ where, what, why }] = reading.faults;
    return { kind: "refused", because: `${where === "" ? "" : `${where}: `}${what} ${why}` };
  }
  const { file } = reading;
  const protocol = restoreProtocol(file);
  if ("senseless" in protocol) {
    return { kind: "refused", because: `Its protocol makes no sense: ${protocol.senseless}.` };
  }
  const [difference] = differencesBetween(file.protocol, protocolPart(new Marks(), protocol), "/protocol");
  if (difference) return { kind: "refused", because: `${difference.where}: ${difference.what}` };
  const placeless = stepWithoutPlace(file);
  if (placeless !== undefined) {
    return {
      kind: "refused",
      because: `${placeless}: The file does not say where this step is written, or says of another that it is written there.`,
    };
  }
  return { kind: "read", version: { path, file, protocol } };
}

/** What is told of a refused file, and what to do. */
export function refusalOf(path: string, because: string): { readonly what: string; readonly next: string } {
  return {
    what: `${path} is no rule file that can be compared. ${because}`,
    next: "Take the file as `limb compile` wrote it; `limb verify` tells more.",
  };
}

/** Whether a text is meant to be a rule file, whole or not: each names the schema of its form. */
export function isMeantAsRuleFile(text: string): boolean {
  return RULE_FILE_FORM.test(text);
}

const RULE_FILE_FORM = /"\$schema"\s*:\s*"urn:limbwright:rule-file:/;

/**
 * Steps are told apart by their places, which no digest covers: each needs one, and only the steps of a routine that is done
 * in several places share theirs. Gives the first that breaks this.
 */
function stepWithoutPlace({ protocol, origins }: RuleFile): string | undefined {
  const { steps, throughout, emergencies } = protocol;
  const known = new Map<string, string>();
  return Object.entries({ steps, throughout, emergencies })
    .flatMap(([name, part]) => placedParts(part, pointer("/protocol", name)))
    .find(([path, part]) => {
      const place = origins[path] && canonicalText(origins[path]);
      if (place === undefined) return true;
      const text = canonicalText(part);
      const earlier = known.get(place) ?? text;
      known.set(place, earlier);
      return earlier !== text;
    })?.[0];
}

type Part = Readonly<Record<string, unknown>>;

/** Every step and every handler, with its place in the file. */
function placedParts(list: unknown, path: string): (readonly [string, Part])[] {
  if (!Array.isArray(list)) return [];
  return list.flatMap((part: Part, at) => {
    const where = pointer(path, at);
    const inner = INNER_LISTS.flatMap((name) => placedParts(part[name], pointer(where, name)));
    return [[where, part] as const, ...inner];
  });
}

const INNER_LISTS = ["steps", "handlers", "yes", "no", "otherwise"] as const;

/**
 * Judges the protocol of a rule file as it is judged today. What was found in its text stands in the file alone, and is
 * taken from it; of a rule about the text that the file does not know nothing is said.
 */
export function judgedVersion({ file, protocol }: CompiledVersion, options: JudgeOptions): ProtocolJudgement {
  const judgement = judgeProtocol(protocol, [], catalogue, options);
  const verdicts = judgement.verdicts.flatMap((verdict) => {
    if (!isOfTheText(verdict.rule)) return [verdict];
    const recorded = file.proof.verdicts.find(({ rule }) => rule === verdict.rule);
    // What is about the text is never answered by local rules.
    if (!recorded || recorded.kind === "answered") return [];
    const { rule, kind } = recorded;
    return [kind === "not-decided" ? { rule, kind, limit: recorded.limit } : { rule, kind }];
  });
  return { ...judgement, verdicts };
}

/** Whether a rule judges the text of a protocol, which no rule file holds. */
export function isOfTheText(rule: string): boolean {
  return rulesOfFile.some(({ id }) => id === rule) && !isJudgedAgain(rule);
}

/**
 * Of several rule files of one protocol one with the newest version; a draft only where all are drafts. Those of that version that say different things cannot be told
 * apart: they are given beside.
 */
export function chosenVersions(read: readonly CompiledVersion[]): {
  readonly chosen: readonly CompiledVersion[];
  readonly doubtful: readonly (readonly CompiledVersion[])[];
} {
  const names = new Set(read.map(({ protocol }) => protocol.name));
  const groups = [...names].map((name) =>
    newestOf(withoutDrafts(read.filter(({ protocol }) => protocol.name === name))),
  );
  return {
    chosen: groups.flatMap(([first]) => first ?? []),
    doubtful: groups.filter((group) => new Set(group.map(({ file }) => digestsOf(file))).size > 1),
  };
}

function digestsOf({ digests }: RuleFile): string {
  return `${digests.meaning} ${digests.proof}`;
}

function withoutDrafts(versions: readonly CompiledVersion[]): readonly CompiledVersion[] {
  const finished = versions.filter(({ file }) => file.use === "protocol");
  return finished.length > 0 ? finished : versions;
}

function newestOf(versions: readonly CompiledVersion[]): CompiledVersion[] {
  const sorted = [...versions].sort((a, b) => compareVersions(b, a) || (a.path < b.path ? -1 : 1));
  return sorted.filter((one) => sorted[0] && compareVersions(one, sorted[0]) === 0);
}

function compareVersions(a: CompiledVersion, b: CompiledVersion): number {
  const [left, right] = [a, b].map(({ file }) => file.protocol.version.split(".").map(Number));
  const at = [0, 1, 2].find((place) => left?.[place] !== right?.[place]) ?? 0;
  return (left?.[at] ?? 0) - (right?.[at] ?? 0);
}
