import type { Origin, Repair, Severity } from "@limbwright/shared/finding";
import { durationText, inBase, type Rational } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import { MONITORS, type Monitor, type PrepareItem, type Protocol } from "../../model/index.ts";
import { linesBefore, needsALook } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { isLipidEmulsion } from "../facts/drugs.ts";

export const rule: Rule = { judge };

/** Something that is not in place, with the line that would put it there. */
interface Missing {
  readonly what: string;
  readonly line: string;
  readonly severity: Severity;
  /** The line that says something else, and whose place it takes. */
  readonly instead?: Origin;
}

function judge(context: RuleContext): Judgement {
  const { protocol } = context;
  const { preparation } = protocol;
  if (preparation?.incomplete || (!preparation && protocol.incomplete)) {
    return undecided("what is prepared was not understood as a whole", preparation?.origin);
  }
  const items = preparation?.items ?? [];
  const missing = [
    ...missingAccess(items),
    ...missingMonitoring(items, context.parameter("interval").value),
    ...missingStaff(items, context.parameter("staff").value),
    ...missingRescue(items),
    ...missingMark(items),
  ];
  if (missing.length === 0) return HOLDS;
  const lines = missing.map(({ line }) => `\`${line}\``).join(", ");
  return found({
    origin: preparation?.origin ?? protocol.nameOrigin,
    severity: missing.some(({ severity }) => severity === "unsafe") ? "unsafe" : "doubtful",
    what: `Not in place before the first step: ${missing.map(({ what }) => what).join("; ")}.`,
    label: missing.length === 1 ? "1 thing is missing" : `${missing.length} things are missing`,
    next: preparation ? `Write ${lines} in \`prepare\`.` : `Add \`prepare { … }\` with ${lines}.`,
    repairs: writeMissing(protocol, missing),
  });
}

/** The missing lines written, in a section of their own where there is none; a lipid emulsion has to be in the formulary. */
function writeMissing(protocol: Protocol, missing: readonly Missing[]): Repair[] {
  const { preparation, timers, emergencies, cuffs } = protocol;
  if (
    missing.some(({ line }) => line === RESCUE) &&
    !protocol.agents.some(({ name }) => name === "lipid-emulsion")
  )
    return [];
  const title = `Write ${listText(missing.map(({ line }) => line))} in prepare`;
  const replaced = missing.flatMap(({ line, instead }) => (instead ? [{ origin: instead, text: line }] : []));
  const added = missing.flatMap(({ line, instead }) => (instead ? [] : [line]));
  const first = preparation?.items[0]?.origin;
  if (first) return needsALook(title, ...(added.length > 0 ? [linesBefore(first, added)] : []), ...replaced);
  const place = timers[0]?.origin ?? emergencies[0]?.origin ?? cuffs?.origin;
  if (preparation || !place) return [];
  const section = ["prepare {", ...added.map((line) => `  ${line}`), "}", ""];
  return needsALook(title, linesBefore(place, section));
}

type Items = readonly PrepareItem[];

function ofKind<K extends PrepareItem["kind"]>(items: Items, kind: K) {
  return items.filter((item): item is Extract<PrepareItem, { kind: K }> => item.kind === kind);
}

function missingAccess(items: Items): Missing[] {
  const elsewhere = ofKind(items, "iv-access").some(({ place }) => place === "other-limb");
  return elsewhere
    ? []
    : [{ what: "a cannula in another limb", line: "iv-access other-limb", severity: "unsafe" }];
}

const MONITOR_NAMES: Readonly<Record<Monitor, string>> = {
  ecg: "an ECG",
  spo2: "pulse oximetry",
  nibp: "blood pressure",
};

function missingMonitoring(items: Items, longest: Rational): Missing[] {
  const lines = ofKind(items, "monitoring");
  const absent = MONITORS.filter((monitor) => !lines.some(({ monitors }) => monitors.includes(monitor)));
  const line = `monitoring ${MONITORS.join(", ")} every ${durationText(longest)}`;
  const missing = absent.map(
    (monitor): Missing => ({ what: MONITOR_NAMES[monitor], line, severity: "doubtful" }),
  );
  const intervals = lines
    .filter(({ monitors }) => monitors.includes("nibp"))
    .map(({ every }) => every && inBase(every));
  const [first] = intervals;
  const oftenEnough = intervals.some((interval) => interval && interval.compare(longest) <= 0);
  if (!absent.includes("nibp") && !oftenEnough) {
    const written = first ? `, not every ${durationText(first)}` : "";
    missing.push({
      what: `blood pressure at least every ${durationText(longest)}${written}`,
      line,
      severity: "doubtful",
    });
  }
  return oneLineEach(missing, lines[0]?.origin);
}

/** The repair is one line, however much of the monitoring is missing. */
function oneLineEach(missing: readonly Missing[], instead: Origin | undefined): Missing[] {
  const [first] = missing;
  const what = missing.map((one) => one.what).join(", ");
  return first ? [{ ...first, what, ...(instead && { instead }) }] : [];
}

function missingStaff(items: Items, least: Rational): Missing[] {
  const written = ofKind(items, "staff");
  const [first] = written;
  if (written.some(({ count }) => least.compare(count) <= 0)) return [];
  return [
    {
      what: `${least.toString()} people${first ? `, not ${first.count}` : ""}`,
      line: `staff ${least.toString()}`,
      severity: "unsafe",
      ...(first && { instead: first.origin }),
    },
  ];
}

const RESCUE = "at-hand lipid-emulsion";

function missingRescue(items: Items): Missing[] {
  const atHand = ofKind(items, "at-hand");
  if (atHand.some(({ agents }) => agents.some(isLipidEmulsion))) return [];
  const asText = atHand.some(({ texts }) => texts.length > 0) ? " (a text in quotes is not judged)" : "";
  return [{ what: `a lipid emulsion at hand${asText}`, line: RESCUE, severity: "unsafe" }];
}

function missingMark(items: Items): Missing[] {
  return items.some(({ kind }) => kind === "site-marked")
    ? []
    : [{ what: "the mark on the site", line: "site-marked", severity: "doubtful" }];
}
