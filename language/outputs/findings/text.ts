import { type Finding, openPointOf } from "@limbwright/shared/finding";
import { CAUTION } from "@limbwright/shared/text";
import type { FileCheck } from "../../check/check.ts";
import { type ProtocolJudgement, rulesThatHold } from "../../rules/engine/judge.ts";
import { leftToPeople } from "../../rules/hazards/hazards.ts";
import { assumptionText, promiseText, wholeEnvelope } from "../../runs/index.ts";
import { faultLines } from "./faults.ts";
import {
  countFindings,
  type Reason,
  type Report,
  type ReportEnd,
  type Summary,
  type UndecidedRule,
} from "./tally.ts";
import { findingLines, paintOf, paragraph, type TextOptions, wholeParagraph } from "./text-finding.ts";
import { answerText, countText, envelopeText, placeText, severitiesText, someNames } from "./words.ts";

export interface TextReportOptions extends TextOptions {
  /** Tells runs line by line; names every rule that is not decided, and every text that is not judged. */
  readonly verbose: boolean;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  /** Whether to add what single faults do to each rule. */
  readonly faults?: boolean;
}

/** Findings for a reader: each with its source line, then a line a protocol, then what the whole came to. */
export function textReport(options: TextReportOptions): Report {
  // What is found for a protocol in a file that it uses is told after the protocol.
  const titles = new Map<string, string>();
  const titleOf = (protocol: string) => titles.get(protocol);
  return {
    start: () => "",
    file: (check) => {
      for (const { protocol } of check.protocols) {
        if (protocol.title !== undefined) titles.set(protocol.name, protocol.title);
      }
      return fileText(check, { ...options, titleOf });
    },
    end: (end) => `${endLines(end, options).join("\n")}\n`,
  };
}

function fileText(check: FileCheck, options: TextReportOptions): string {
  const own = check.protocols.map(({ protocol }) => protocol.name);
  const findings = check.findings.map((finding) => findingLines(finding, options, own));
  const protocols = check.protocols.map((judgement) => protocolLines(check, judgement, options));
  return [...findings, ...protocols].map((lines) => `${lines.join("\n")}\n\n`).join("");
}

/** "wrist-reduction: 1 unsafe, 2 advice; 30 rules hold, 22 not decided." */
function protocolLines(check: FileCheck, judgement: ProtocolJudgement, options: TextReportOptions): string[] {
  const { protocol, findings, verdicts, notJudged, explored } = judgement;
  const paint = paintOf(options);
  const judged = new Set(findings.map(keyOf));
  const inText = check.findings.filter((one) => one.protocol === undefined && !judged.has(keyOf(one)));
  const count = (kind: string) => verdicts.filter((verdict) => verdict.kind === kind).length;
  const found = textOfFound([...inText, ...findings]);
  const held = [
    countText(count("holds"), "rule holds", "rules hold"),
    count("answered") > 0 && `${count("answered")} answered`,
    `${verdicts.filter((one) => openPointOf(one)).length} not decided`,
  ]
    .filter(Boolean)
    .join(", ");
  const line = `${protocol.name || "A protocol without a name"} (${check.file}): ${found}; ${held}.`;
  const listed = notJudged.length > 0 ? notJudgedLines(notJudged, options) : [];
  const times = envelopeText(wholeEnvelope(explored.runs));
  const faults = options.faults
    ? ["", ...faultLines(explored.faults(rulesThatHold(verdicts)), protocol.name, options)]
    : [];
  return [
    ...wholeParagraph(line, options).map(paint.strong),
    ...(times === undefined ? [] : paragraph("", times, options)),
    ...(options.verbose ? assumptionLines(judgement, options) : promiseLines(judgement, options)),
    ...listed,
    ...(options.verbose ? notAskedLines(judgement, options) : []),
    ...faults,
  ];
}

function keyOf({ rule, origin, what }: Finding): string {
  return `${rule} ${placeText(origin)} ${what}`;
}

function textOfFound(findings: readonly Finding[]): string {
  const { bySeverity, accepted } = countFindings(findings);
  const parts = [severitiesText(bySeverity) || "nothing found", accepted > 0 && `${accepted} accepted`];
  return parts.filter(Boolean).join(", ");
}

function notJudgedLines(notJudged: ProtocolJudgement["notJudged"], options: TextReportOptions): string[] {
  if (!options.verbose) {
    const names = notJudged.map(({ what }) => what);
    return paragraph("", `No rule judges ${someNames(names, false)}.`, options);
  }
  return [
    "  Not judged, for a person to read:",
    ...notJudged.flatMap(({ origin, what }) =>
      paragraph("- ", `${placeText(origin)} ${what}`, options, "    "),
    ),
  ];
}

function notAskedLines({ notAsked }: ProtocolJudgement, options: TextReportOptions): string[] {
  if (notAsked.length === 0) return [];
  const why = "since it is a draft, or no earlier version says otherwise";
  return paragraph("", `Not judged, ${why}: ${notAsked.join(", ")}.`, options);
}

function endLines({ summary, unread, known }: ReportEnd, options: TextReportOptions): string[] {
  const say = (text: string) => wholeParagraph(text, options);
  const { protocols, files, accepted } = summary;
  const total = severitiesText(summary.bySeverity);
  const isNew = known === undefined ? "" : "new ";
  const nothing = `No ${isNew}findings${accepted > 0 ? " that count" : ""}.`;
  return [
    ...say(
      `Checked ${countText(protocols, "protocol")} in ${countText(files, "file")}, dates judged on ${options.on}.`,
    ),
    ...say(total === "" ? nothing : `${isNew === "" ? "Found" : "New"}: ${total}.`),
    ...(accepted > 0 ? say(`Accepted: ${countText(accepted, "finding")}, printed above, not counted.`) : []),
    ...(known ? say(`Known: ${countText(known, "finding")} of the baseline, not shown.`) : []),
    ...(unread.length > 0
      ? say(`Not read: ${countText(unread.length, "file or folder", "files or folders")}, named above.`)
      : []),
    ...answeredLines(summary, options),
    ...notDecidedLines(summary, options),
    ...notJudgedSummary(summary, options),
    "",
    ...say(CAUTION),
  ];
}

/** What local rules answer in the place of a published value: printed each time, and never counted among what holds. */
function answeredLines({ answered, answers }: Summary, options: TextReportOptions): string[] {
  if (answered === 0) return [];
  return [
    ...wholeParagraph("Answered by local rules, which is no proof:", options),
    ...answers.flatMap((one) =>
      paragraph("- ", `${one.rules.join(", ")} at ${placeText(one.origin)}: ${answerText(one)}.`, options),
    ),
  ];
}

function notDecidedLines({ notDecided, reasons }: Summary, options: TextReportOptions): string[] {
  if (notDecided === 0) return [];
  return [
    "Not decided, which is not a pass:",
    ...reasons.flatMap((reason) => paragraph("- ", reasonText(reason, options.verbose), options)),
  ];
}

/** Up to this many rules of one reason are named with their places. */
const PLACED = 3;

function reasonText({ limit, rules }: Reason, isVerbose: boolean): string {
  const names = rules.map((rule) => (rules.length <= PLACED ? ruleText(rule) : rule.rule));
  if (rules.length === 1) return `${names.join("")}: ${limit}.`;
  return `${countText(rules.length, "rule")}: ${limit} (${someNames(names, isVerbose, PLACED)}).`;
}

function ruleText({ rule, protocols, origin }: UndecidedRule): string {
  const rest = protocols > 1 ? ` and in ${countText(protocols - 1, "more protocol")}` : "";
  return `${rule} at ${placeText(origin)}${rest}`;
}

/** What no rule judges: texts of these protocols, and what no text can say. */
function notJudgedSummary({ protocols, notJudged }: Summary, options: TextReportOptions): string[] {
  if (protocols === 0) return [];
  const texts = `${countText(notJudged, "text")} that only people can judge, such as notes and tasks`;
  return [
    ...(notJudged === 0 ? [] : wholeParagraph(`Not judged: ${texts}; named above.`, options)),
    ...wholeParagraph(
      `${leftToPeople()}. \`limb hazards\` says what guards against each, and what nothing does.`,
      options,
    ),
  ];
}

/** Whose work has to be done in time for what holds to hold. */
function promiseLines({ explored, verdicts }: ProtocolJudgement, options: TextOptions): string[] {
  return explored
    .promisesOf(rulesThatHold(verdicts))
    .flatMap((promised) => paragraph("", `Leans on: ${promiseText(promised)}.`, options));
}

/** The bounds on times that the rules lean on which hold, each with those rules; empty where there are none. */
function assumptionLines({ explored, verdicts }: ProtocolJudgement, options: TextOptions): string[] {
  const leaning = new Map<string, string[]>();
  for (const [rule, assumptions] of explored.assumptionsOf(rulesThatHold(verdicts))) {
    for (const assumption of assumptions) {
      const words = assumptionText(assumption);
      leaning.set(words, [...(leaning.get(words) ?? []), rule]);
    }
  }
  if (leaning.size === 0) return [];
  return [
    "  Leans on, since no protocol can make it so:",
    ...[...leaning].flatMap(([words, rules]) =>
      paragraph("- ", `${words} (${rules.join(", ")})`, options, "    "),
    ),
  ];
}
