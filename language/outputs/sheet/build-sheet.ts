import { type Finding, openPointOf, placeOf } from "@limbwright/shared/finding";
import { durationText, inBase, quantityText } from "@limbwright/shared/quantity";
import { CAUTION, capital } from "@limbwright/shared/text";
import {
  type Agent,
  type AmountAtHand,
  agentsOf,
  allHandlers,
  type PatientCondition,
  type PrepareItem,
  type Protocol,
  type Step,
  stepsWithin,
} from "../../model/index.ts";
import { rangeText, VARIABLES } from "../../population/index.ts";
import type { ProtocolJudgement } from "../../rules/engine/judge.ts";
import type { Releases } from "../../rules/engine/over-runs.ts";
import type { Envelope } from "../../runs/index.ts";
import { acceptanceText, answerText, envelopeText, patientsText } from "../findings/words.ts";
import { doseCurvesOf } from "../pictures/doses.ts";
import { clockLimitsOf, minutesText, momentText, releasePictures } from "../pictures/run-pictures.ts";
import { BETWEEN_ROWS } from "../table/table.ts";
import { cuffText, handlerItem, itemsOf } from "./checklist.ts";
import type {
  Sheet,
  SheetBound,
  SheetCuffs,
  SheetFinding,
  SheetHead,
  SheetStanding,
  SheetTimes,
} from "./sheet.ts";
import { tablesOf } from "./tables.ts";

export interface SheetOptions {
  /** The day on which it is said whether the review is overdue, YYYY-MM-DD. */
  readonly on: string;
  readonly draft: boolean;
  /** The digest of what the protocol means. */
  readonly meaning: string;
}

/** A protocol with what was found about it, whoever judged it and when. */
export interface SheetSubject
  extends Pick<ProtocolJudgement, "protocol" | "findings" | "verdicts" | "notJudged"> {
  readonly inTheText: readonly Finding[];
  /** Over all runs; undefined where not every run was gone through. */
  readonly envelope: Envelope | undefined;
  readonly releases: Releases;
}

/** The bedside sheet of a judged protocol; undefined where it has no dose table. */
export function sheetOf(subject: SheetSubject, options: SheetOptions): Sheet | undefined {
  const { protocol } = subject;
  const tables = tablesOf(protocol);
  if (!tables) return undefined;
  const { plan, after } = atRecovery(protocol.steps ?? []);
  const conditions = protocol.patients?.conditions ?? [];
  return {
    head: headOf(protocol, options.meaning),
    marks: marksOf(protocol, options),
    indications: protocol.indications.map(({ value }) => value),
    patients: patientsOf(protocol),
    contraindicated: conditions.filter(isContraindicated).map(conditionText),
    cautions: [
      ...conditions.filter((one) => !isContraindicated(one)).map(conditionText),
      ...agentsOf(protocol).flatMap(({ name, cautions }) =>
        cautions.map(({ text, group }) => `${group === undefined ? "" : `${group}: `}${text} (${name})`),
      ),
    ],
    cuffs: cuffsOf(protocol),
    prepare: (protocol.preparation?.items ?? []).map(prepareText),
    checklist: itemsOf(plan, protocol),
    throughout: protocol.throughout.map((handler) => handlerItem(handler, protocol)),
    discharge: itemsOf(after, protocol),
    times: timesOf(protocol, subject.envelope),
    runs: releasePictures(protocol, subject.releases, "run"),
    curves: doseCurvesOf(protocol, "dose"),
    doses: tables.doses,
    pressures: tables.pressures,
    emergencies: protocol.emergencies.map(({ name, title, steps, origin }) => ({
      title: title ?? name,
      items: itemsOf(steps, protocol),
      tables: tables.emergencies.get(name) ?? [],
      place: placeOf(origin),
    })),
    standing: standingOf(subject),
    betweenRows: BETWEEN_ROWS,
    caution: CAUTION,
  };
}

function headOf(protocol: Protocol, meaning: string): SheetHead {
  const { name, title, hospital, owner, version, reviewBy, nameOrigin } = protocol;
  return {
    name,
    title: title ?? name,
    ...(hospital && { hospital: hospital.value }),
    ...(owner && { owner: owner.value }),
    version: version?.value ?? "",
    status: statusText(protocol),
    ...(reviewBy && { reviewBy: reviewBy.value }),
    meaning,
    place: placeOf(nameOrigin),
  };
}

function statusText({ status }: Protocol): string {
  const value = status?.value;
  if (value?.kind === "approved") return `Approved by ${value.by} on ${value.on}`;
  return capital((value?.kind ?? "").replace("-", " "));
}

function marksOf(protocol: Protocol, { draft, on }: SheetOptions): string[] {
  const { status, reviewBy } = protocol;
  const kind = status?.value.kind;
  const standing =
    kind === "approved" ? [] : [kind === "retired" ? "Retired – not for use" : statusText(protocol)];
  const isOverdue = reviewBy !== undefined && reviewBy.value < on && kind !== "retired";
  return [...(draft ? ["Draft – not for use"] : standing), ...(isOverdue ? ["Review overdue"] : [])];
}

const PREFIXES = { weight: "weight", age: "age", systolic: "systolic", circumference: "limb" };

function patientsOf({ patients }: Protocol): string[] {
  return VARIABLES.flatMap((variable) => {
    const range = patients?.bounds[variable];
    return range ? [`${PREFIXES[variable]} ${rangeText(range.interval, range.unit)}`] : [];
  });
}

export function isContraindicated({ decision }: PatientCondition): boolean {
  return decision === "contraindicated";
}

/** "Raynaud: allowed, short occlusion", or the text that is written, after what it is about where it does not say so itself. */
export function conditionText({ decision, condition, text, because }: PatientCondition): string {
  const about = condition?.replaceAll("-", " ");
  const says = text !== undefined && about !== undefined && !text.toLowerCase().includes(about);
  const named = capital(says ? `${about}: ${text}` : (text ?? about ?? ""));
  return decision === "allowed" ? `${named}: allowed${because === undefined ? "" : `, ${because}`}` : named;
}

function cuffsOf(protocol: Protocol): SheetCuffs {
  const { cuffs } = protocol;
  return {
    labels: (cuffs?.cuffs ?? []).map(({ name }) => cuffText(name, protocol)),
    on: (cuffs?.place?.value ?? "").replace("-", " "),
    ...(cuffs?.ceiling && { ceiling: quantityText(cuffs.ceiling) }),
    ...(cuffs?.fits && { fits: rangeText(cuffs.fits.interval, cuffs.fits.unit) }),
  };
}

export function prepareText(item: PrepareItem): string {
  switch (item.kind) {
    case "iv-access":
      return `Intravenous access in ${item.place === "other-limb" ? "another limb" : "the same limb"}`;
    case "monitoring": {
      const names = item.monitors.map((monitor) => MONITORS[monitor]).join(", ");
      return `Monitoring: ${names}${item.every ? ` every ${quantityText(item.every)}` : ""}`;
    }
    case "at-hand":
      return `At hand: ${[...item.agents.map((agent) => atHandText(agent, item.amounts)), ...item.texts].join(", ")}`;
    case "staff":
      return `Staff: ${item.count}`;
    case "site-marked":
      return "Site marked";
    case "text":
      return item.text;
  }
}

/** "lipid-emulsion 1,000 mL" */
function atHandText({ name }: Agent, amounts: readonly AmountAtHand[] = []): string {
  const amount = amounts.find(({ agent }) => agent?.name === name)?.amount;
  return amount ? `${name} ${quantityText(amount)}` : name;
}

const MONITORS = { ecg: "ECG", spo2: "SpO₂", nibp: "blood pressure" };

/** The steps up to the last recovery, also one that stands in a stage, and what is left to do after it. */
function atRecovery(steps: readonly Step[]): {
  readonly plan: readonly Step[];
  readonly after: readonly Step[];
} {
  const last = steps.findLastIndex((step) =>
    [...stepsWithin([step])].some(({ kind }) => kind === "recovery"),
  );
  const end = last < 0 ? steps.length : last + 1;
  return { plan: steps.slice(0, end), after: steps.slice(end) };
}

/** What was found is printed in full: also what is accepted, and what nobody could decide. */
function standingOf({ findings, verdicts, notJudged, inTheText }: SheetSubject): SheetStanding {
  return {
    findings: [...inTheText, ...findings].map(findingOf),
    holding: verdicts.filter(({ kind }) => kind === "holds").length,
    answered: verdicts.flatMap((verdict) =>
      verdict.kind === "answered"
        ? [{ rule: verdict.rule, by: verdict.answers.map(answerText).join("; ") }]
        : [],
    ),
    notDecided: verdicts.flatMap((verdict) => {
      const open = openPointOf(verdict);
      return open ? [{ rule: verdict.rule, limit: open.limit }] : [];
    }),
    notJudged: notJudged.length,
  };
}

function findingOf({ severity, rule, what, patients, accepted }: Finding): SheetFinding {
  return {
    severity,
    rule,
    what: patients ? `${what} ${patientsText(patients)}.` : what,
    ...(accepted && { accepted: acceptanceText(accepted) }),
  };
}

/** The clock times of a run that are worked out and written down at the bedside. */
function timesOf(protocol: Protocol, envelope: Envelope | undefined): SheetTimes {
  const every = monitoringInterval(protocol);
  return {
    moments: clockLimitsOf(protocol).flatMap(({ moment, from }) => (moment.kind === "release" ? [] : [from])),
    bounds: boundsOf(protocol),
    deflations: deflationsIn(protocol.steps ?? []),
    hasSwap: (protocol.cuffs?.cuffs.length ?? 0) > 1,
    ...(every !== undefined && { pressureEvery: every }),
    overAllRuns:
      envelopeText(envelope) ?? "Not decided: how early and how late the release can come over all runs.",
  };
}

/** When the release may come, from each moment that something counts from, and what has to be done at some time. */
function boundsOf(protocol: Protocol): SheetBound[] {
  const limits = clockLimitsOf(protocol).filter(({ moment }) => moment.kind !== "release");
  const bounds = (what: SheetBound["what"], side: "least" | "most") =>
    limits.flatMap((one): SheetBound[] => {
      const plus = one[side];
      return plus ? [{ what, from: one.from, plus: minutesText(plus) }] : [];
    });
  return [
    ...bounds("earliest release", "least"),
    ...bounds("latest release", "most"),
    ...urgentBounds(protocol),
  ];
}

/** What has to be done as soon as a timer has reached a time. */
function urgentBounds(protocol: Protocol): SheetBound[] {
  return allHandlers(protocol).flatMap((handler): SheetBound[] => {
    if (handler.kind !== "reaches") return [];
    const timer = protocol.timers.find(({ name }) => name === handler.timer);
    if (!timer?.from) return [];
    const then = itemsOf(handler.steps, protocol).map(({ text }) => text);
    return [
      {
        what: "at the latest",
        step: then.join(", "),
        from: momentText(timer.from),
        plus: minutesText(inBase(handler.limit)),
      },
    ];
  });
}

/** How often steps let every cuff down after the drug is in, as far as the plan goes. */
function deflationsIn(steps: readonly Step[]): number {
  return countDeflations(steps, false).count;
}

function countDeflations(
  steps: readonly Step[],
  injectedBefore: boolean,
): { readonly count: number; readonly injected: boolean } {
  let injected = injectedBefore;
  let count = 0;
  for (const step of steps) {
    if (step.kind === "inject") injected = true;
    if (step.kind === "deflate" && injected) count += 1;
    if (step.kind !== "repeat" && step.kind !== "do" && step.kind !== "stage") continue;
    const inner = countDeflations(step.steps, injected);
    count += inner.count * (step.kind === "repeat" ? step.times : 1);
    injected = inner.injected;
  }
  return { count, injected };
}

function monitoringInterval({ preparation }: Protocol): string | undefined {
  for (const item of preparation?.items ?? []) {
    if (item.kind === "monitoring" && item.every) return durationText(inBase(item.every));
  }
  return undefined;
}
