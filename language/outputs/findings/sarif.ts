import {
  type Finding,
  type Origin,
  openPointOf,
  type Repair,
  type RunEvidence,
  type RunLine,
  type Severity,
} from "@limbwright/shared/finding";
import { CAUTION } from "@limbwright/shared/text";
import type { FileCheck } from "../../check/check.ts";
import { catalogue } from "../../rules/catalogue.ts";
import { CATALOGUE_VERSION } from "../../rules/engine/catalogue-version.ts";
import type { AnyRule } from "../../rules/engine/definition.ts";
import type { ProtocolJudgement } from "../../rules/engine/judge.ts";
import { pageOf } from "../../rules/rule-pages.ts";
import type { JsonReportOptions } from "./json.ts";
import type { Report, ReportEnd, Unread } from "./tally.ts";
import { acceptanceText, answerText, countText, messageText } from "./words.ts";

/**
 * Findings as SARIF 2.1.0 (OASIS), for programs that show the results of many checkers. A rule that is
 * not decided is a result of the kind `open`, the texts that no rule judges one of the kind `review`.
 */
export function sarifReport({ version }: Pick<JsonReportOptions, "version">): Report {
  let separator = "";
  const each = (result: object) => {
    const text = `${separator}\n${JSON.stringify(result)}`;
    separator = ",";
    return text;
  };
  return {
    start: () => {
      const head = {
        tool: {
          driver: {
            name: "Limbwright",
            semanticVersion: version,
            fullDescription: { text: CAUTION },
            rules: catalogue.map(descriptor),
            properties: { catalogue: CATALOGUE_VERSION },
          },
        },
        columnKind: "utf16CodeUnits",
      };
      return `{"$schema":${JSON.stringify(SCHEMA)},"version":"2.1.0","runs":[${JSON.stringify(head).slice(0, -1)},\n"results":[`;
    },
    file: (check) => resultsOf(check).map(each).join(""),
    end: ({ unread }: ReportEnd) => `\n],\n"invocations":[${JSON.stringify(invocation(unread))}]}]}\n`,
  };
}

const SCHEMA = "https://json.schemastore.org/sarif-2.1.0-rtm.5.json";

/** The base of all paths: the folder that the program which shows the results has open. */
const BASE = "SRCROOT";

const INDEX: ReadonlyMap<string, number> = new Map(catalogue.map(({ id }, index) => [id, index]));

const LEVELS: Readonly<Record<Severity, "error" | "warning" | "note">> = {
  error: "error",
  unsafe: "error",
  doubtful: "warning",
  advice: "note",
};

function descriptor(rule: AnyRule) {
  const why = "why" in rule && rule.why !== "" ? rule.why : `${rule.title}.`;
  return {
    id: rule.id,
    shortDescription: { text: `${rule.title}.` },
    fullDescription: { text: why },
    help: { text: why, markdown: pageOf(rule) },
    defaultConfiguration: { level: LEVELS[rule.severity] },
    properties: { group: rule.group, severity: rule.severity },
  };
}

function resultsOf({ findings, protocols }: FileCheck): object[] {
  return [...findings.map(findingResult), ...protocols.flatMap(openResults)];
}

function findingResult(finding: Finding) {
  const { rule, severity, related, run, repairs, accepted, protocol } = finding;
  return {
    ruleId: rule,
    ruleIndex: INDEX.get(rule) ?? -1,
    kind: "fail",
    level: LEVELS[severity],
    message: { text: messageText(finding) },
    locations: [
      {
        ...location(finding.origin),
        ...(protocol !== undefined && { logicalLocations: [{ fullyQualifiedName: protocol }] }),
      },
    ],
    ...(related.length > 0 && {
      relatedLocations: related.map(({ origin, note }) => ({ ...location(origin), message: { text: note } })),
    }),
    ...(run && { codeFlows: [codeFlow(run)] }),
    ...(repairs.length > 0 && { fixes: repairs.map(fix) }),
    ...(accepted && {
      suppressions: [
        {
          kind: "external",
          status: "accepted",
          justification: `Accepted ${acceptanceText(accepted)}`,
          location: location(accepted.origin),
        },
      ],
    }),
    partialFingerprints: { "finding/v1": [rule, protocol ?? finding.origin.file, finding.what].join(" | ") },
    properties: { severity },
  };
}

/** What a check leaves open about a protocol: the rules that are not decided, the texts that no rule judges. */
function openResults({ protocol, verdicts, notJudged }: ProtocolJudgement): object[] {
  const at = (origin: Origin) => [
    { ...location(origin), logicalLocations: [{ fullyQualifiedName: protocol.name }] },
  ];
  const result = (rule: string, kind: "open" | "informational", text: string, place: Origin | undefined) => ({
    ruleId: rule,
    ruleIndex: INDEX.get(rule) ?? -1,
    kind,
    level: "none",
    message: { text },
    locations: at(place ?? protocol.nameOrigin),
  });
  const open = verdicts.flatMap((verdict) => {
    const { rule, kind } = verdict;
    const point = openPointOf(verdict);
    if (point)
      return [result(rule, "open", `Not decided, which is not a pass: ${point.limit}.`, point.origin)];
    if (kind !== "answered") return [];
    return verdict.answers.map((one) =>
      result(
        rule,
        "informational",
        `Answered by local rules, which is no proof: ${answerText(one)}.`,
        one.origin,
      ),
    );
  });
  if (notJudged.length === 0) return open;
  const texts = notJudged.map(({ what }) => what).join("; ");
  const review = {
    kind: "review",
    level: "none",
    message: { text: `No rule judges ${countText(notJudged.length, "text")}; people have to: ${texts}.` },
    locations: at(protocol.nameOrigin),
  };
  return [...open, review];
}

/** A run, line by line; a line that no step of the text stands for has no place. */
function codeFlow({ lines }: RunEvidence) {
  return {
    message: { text: "One run that leads here." },
    threadFlows: [{ locations: lines.map(flowLocation) }],
  };
}

function flowLocation({ time, what, after, standing, isKey, origin }: RunLine) {
  const text = after === "" ? `${time} ${what}` : `${time} ${what}: ${after}`;
  return {
    location: { ...(origin && location(origin)), message: { text } },
    importance: isKey ? "essential" : "unimportant",
    ...(standing !== "" && { state: { standing: { text: standing } } }),
  };
}

function fix({ title, safety, changes }: Repair) {
  const files = [...new Set(changes.map(({ origin }) => origin.file))];
  return {
    description: {
      text: safety === "safe" ? title : `${title} (changes the meaning: look before you take it)`,
    },
    artifactChanges: files.map((file) => ({
      artifactLocation: artifact(file),
      replacements: changes
        .filter(({ origin }) => origin.file === file)
        .map(({ origin, text }) => ({ deletedRegion: region(origin), insertedContent: { text } })),
    })),
  };
}

function location(origin: Origin) {
  return { physicalLocation: { artifactLocation: artifact(origin.file), region: region(origin) } };
}

function artifact(file: string) {
  return { uri: file.split("/").map(encodeURIComponent).join("/"), uriBaseId: BASE };
}

function region({ start, end }: Origin) {
  return {
    startLine: start.line,
    startColumn: start.column,
    endLine: end.line,
    endColumn: end.column,
    charOffset: start.offset,
    charLength: end.offset - start.offset,
  };
}

function invocation(unread: readonly Unread[]) {
  return {
    executionSuccessful: unread.length === 0,
    ...(unread.length > 0 && {
      toolExecutionNotifications: unread.map(({ file, what, next }) => ({
        level: "error",
        message: { text: `${what} ${next}` },
        locations: [{ physicalLocation: { artifactLocation: artifact(file) } }],
      })),
    }),
  };
}
