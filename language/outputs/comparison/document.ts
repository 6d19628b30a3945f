import type { Origin, RunEvidence } from "@limbwright/shared/finding";
import type { Markup } from "@limbwright/shared/text";
import type { ChangeCode, ChangeKind } from "../../compare/codes.ts";
import type {
  Change,
  ChangeEvidence,
  ComparedTime,
  ComparedVersion,
  ProtocolComparison,
} from "../../compare/comparison.ts";
import { countText } from "../findings/words.ts";
import {
  byKind,
  type ComparisonReport,
  conclusionText,
  fileOfRun,
  MOMENT_HEADING,
  notComparedText,
  patientsText,
  RUN_HEADINGS,
  raiseText,
  versionText,
} from "./words.ts";

/**
 * A comparison as what stands in it, one after the other, however it is printed. Texts are sentences in which names stand
 * between backticks.
 */
export type Part =
  | { readonly is: "head"; readonly before: string; readonly now: string; readonly says: string }
  | {
      readonly is: "protocol";
      readonly name: string;
      readonly title?: string;
      readonly parts: readonly Part[];
    }
  | { readonly is: "conclusion"; readonly says: string; readonly raise: string | undefined }
  | Sides
  | { readonly is: "kind"; readonly kind: ChangeKind; readonly parts: readonly Part[] }
  | ChangePart
  /** A `label` stands before it at a terminal, and elsewhere where it is strong; `names` at its end. */
  | {
      readonly is: "paragraph";
      readonly says: string;
      readonly label?: string;
      readonly isStrong?: true;
      readonly names?: readonly string[];
    }
  | RunPart
  | { readonly is: "times"; readonly times: readonly ComparedTime[] }
  | { readonly is: "list"; readonly title: string; readonly items: readonly string[] }
  | PicturePart
  | { readonly is: "caution" };

/** Two versions, or what two versions say, beside each other. */
export interface Sides {
  readonly is: "sides";
  readonly of: "version" | "change";
  readonly before: Side | undefined;
  readonly now: Side | undefined;
}

export interface Side {
  readonly name?: string;
  readonly says: string;
  readonly origin: Origin;
  readonly meaning?: string;
  /** Whether its place is in a text that can be opened. */
  readonly isLine: boolean;
}

export interface ChangePart {
  readonly is: "change";
  readonly kind: ChangeKind;
  readonly code: ChangeCode;
  readonly about: string;
  readonly isDecided: boolean;
  readonly parts: readonly Part[];
}

/** A run that shows something, told from the lines of `file`; a sentence stands before or after it. */
export interface RunPart {
  readonly is: "run";
  readonly heading: string;
  readonly run: RunEvidence;
  readonly file: string;
  readonly before?: string;
  readonly after?: string;
}

export interface PicturePart {
  readonly is: "picture";
  readonly title: string;
  readonly pictures: readonly { readonly title?: string; readonly drawn: Markup }[];
  readonly says?: string;
}

/** A whole comparison: each protocol that is not the same, and what the others come to. */
export function comparisonDocument(report: ComparisonReport): Part[] {
  const { protocols, notCompared } = report.comparison;
  const shown = protocols.filter(({ outcome }) => outcome !== "nothing" || protocols.length === 1);
  return [
    headPart(report),
    ...shown.map((one) => protocolPart(one)),
    ...sameParts(protocols.filter((one) => !shown.includes(one)).map(({ protocol }) => protocol)),
    ...notComparedParts(notCompared),
    { is: "caution" },
  ];
}

export function headPart({ before, now, on, comparison }: ComparisonReport): Extract<Part, { is: "head" }> {
  const says = `${countText(comparison.protocols.length, "protocol")}, dates judged on ${on}.`;
  return { is: "head", before, now, says };
}

export function sameParts(names: readonly string[]): Part[] {
  if (names.length === 0) return [];
  const says = `No change in ${countText(names.length, "protocol")}, compared in everything:`;
  return [{ is: "paragraph", says, names }];
}

export function notComparedParts(all: ProtocolComparison["notCompared"]): Part[] {
  if (all.length === 0) return [];
  const items = all.map((one) => `${notComparedText(one)}.`);
  return [{ is: "list", title: "Not compared, so nothing is said of it", items }];
}

/** One protocol; where there are pictures, the times stand beside them. */
export function protocolPart(comparison: ProtocolComparison, pictures?: readonly PicturePart[]): Part {
  const { protocol, before, now, changes, times, notCompared } = comparison;
  const title = (now ?? before)?.title;
  const kept = { before: before?.ruleFile !== undefined, now: now?.ruleFile !== undefined };
  const timesPart: Part = { is: "times", times };
  return {
    is: "protocol",
    name: protocol,
    ...(title !== undefined && { title }),
    parts: [
      { is: "sides", of: "version", before: versionSide(before), now: versionSide(now) },
      { is: "conclusion", says: conclusionText(comparison), raise: raiseText(comparison) },
      ...(pictures ? [...pictures, timesPart] : []),
      ...byKind(changes).map(
        (one): Part => ({
          is: "kind",
          kind: one.kind,
          parts: one.changes.map((change) => changePart(change, kept)),
        }),
      ),
      ...(pictures ? [] : [timesPart]),
      ...notComparedParts(notCompared),
    ],
  };
}

function versionSide(version: ComparedVersion | undefined): Side | undefined {
  if (!version) return undefined;
  const { name, origin, meaning } = version;
  return {
    name,
    says: versionText(version),
    origin,
    ...(meaning !== undefined && { meaning }),
    isLine: false,
  };
}

function changePart(change: Change, kept: { readonly before: boolean; readonly now: boolean }): ChangePart {
  const { kind, code, about, what, before, now, evidence, notDecided } = change;
  const sides: Sides = {
    is: "sides",
    of: "change",
    before: before && { ...before, isLine: !kept.before },
    now: now && { ...now, isLine: !kept.now },
  };
  return {
    is: "change",
    kind,
    code,
    about,
    isDecided: notDecided === undefined,
    parts: [
      { is: "paragraph", says: what },
      ...(before || now ? [sides] : []),
      ...evidence.map((one) => evidencePart(one, change)),
      ...(notDecided === undefined
        ? []
        : [
            {
              is: "paragraph" as const,
              label: "Not decided:",
              says: `${notDecided}.`,
              isStrong: true as const,
            },
          ]),
    ],
  };
}

function evidencePart(evidence: ChangeEvidence, change: Change): Part {
  if (evidence.kind === "patients")
    return { is: "paragraph", label: "Patients:", says: patientsText(evidence) };
  if (evidence.kind === "run") {
    const { side, run, other } = evidence;
    return { is: "run", heading: RUN_HEADINGS[side], run, file: fileOfRun(evidence, change), after: other };
  }
  const { says, run } = evidence;
  if (!run) return { is: "paragraph", says };
  return {
    is: "run",
    heading: MOMENT_HEADING,
    run,
    file: fileOfRun({ ...evidence, run }, change),
    before: says,
  };
}
