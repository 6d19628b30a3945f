import { type Origin, originKey } from "@limbwright/shared/finding";
import { type Dose, type Handler, KNOWN_EVENTS, type Protocol, type Step } from "../../model/index.ts";
import { isLipidEmulsion } from "./drugs.ts";
import { isInfusion } from "./emergencies-reached.ts";
import { writtenTime } from "./longest-time.ts";
import {
  ALL_FIRST_AID,
  type FirstAid,
  hasFirstAid,
  isAllowedWhileWatched,
  mayComeFirst,
  timeWhileWatched,
  withFirstAid,
} from "./treatment-steps.ts";
import {
  interruptionsOf,
  placesOf,
  type StepOnTheWay,
  type WayEnd,
  type WayPlace,
  type WayQuestion,
  type WayRest,
  type WayStep,
  waysOfAnswer,
} from "./ways.ts";

/**
 * What is wrong on some way through an answer to signs of toxicity, up to the first lipid. A way is followed to its first slip.
 *
 * On a way the patient is *being treated* until the lipid, or *watched*: a question has been answered so that the other answer
 * would have led to lipid.
 */
export type Slip =
  /** A step that may not come before the lipid. */
  | { readonly kind: "comes-first"; readonly step: Step }
  /** With this step, what is written of the times before the lipid is over what is allowed. */
  | { readonly kind: "takes-long"; readonly step: Step; readonly seconds: number }
  /** A `repeat` whose next round comes before the lipid. */
  | { readonly kind: "round"; readonly step: Step }
  /** The way ends here, and the patient was neither given lipid nor watched. */
  | { readonly kind: "untreated"; readonly origin: Origin }
  /** The answer is over, and the patient was neither given lipid nor watched. */
  | { readonly kind: "dismissed"; readonly question?: Question }
  /** Whoever answers so goes on without help or oxygen. */
  | { readonly kind: "no-first-aid"; readonly question: Question }
  /** A step that a patient who is being watched may not have. */
  | { readonly kind: "not-watching"; readonly step: Step; readonly question: Question }
  /** With this step, nobody asks again for so long. */
  | { readonly kind: "unseen"; readonly step: Step; readonly seconds: number; readonly question: Question }
  /** Nothing leads back to lipid for whoever gets worse. */
  | { readonly kind: "no-way-back"; readonly question: Question };

/** A question, with the answer by which a way goes on without lipid. */
export interface Question {
  readonly step: WayQuestion["step"];
  readonly answer: "yes" | "no";
}

export interface TreatmentLimits {
  /** The most that the written times before the lipid may sum to, in seconds. */
  readonly beforeLipid: number;
  /** The longest time for which a patient is watched before it is asked again, in seconds. */
  readonly lookAgain: number;
}

/** What counts as the treatment that a way has to come to. */
export type Treatment = (place: WayPlace) => boolean;

/** Lipid: a bolus, where the answer of this handler gives one anywhere, else any. Undefined where it gives none. */
export function firstLipidOf(protocol: Protocol, handler: Handler): Treatment | undefined {
  const places = placesOf(waysOfAnswer(protocol, handler));
  const given = places.flatMap((place) => lipidGivenAt(place, protocol) ?? []);
  const boluses = given.filter((dose) => !isInfusion(dose));
  const counted = new Set((boluses.length > 0 ? boluses : given).map(({ name }) => name));
  if (counted.size === 0) return undefined;
  return (place) => counted.has(lipidGivenAt(place, protocol)?.name ?? "");
}

/** Lipid of any kind, or the way into an emergency, whatever that does. */
export function anyTreatment(protocol: Protocol): Treatment {
  return (place) => place.kind === "emergency" || lipidGivenAt(place, protocol) !== undefined;
}

function lipidGivenAt(place: WayPlace, protocol: Protocol): Dose | undefined {
  return place.kind === "step" ? lipidGivenIn(place.step, protocol) : undefined;
}

function lipidGivenIn(step: StepOnTheWay, { doses }: Protocol): Dose | undefined {
  // What is given elsewhere than into a vein treats nobody.
  return step.kind === "give" && !step.as
    ? doses.find(({ name, agent }) => name === step.dose && isLipidEmulsion(agent))
    : undefined;
}

/** The slips on all ways through the answer of a handler, each once. */
export function slipsOf(
  protocol: Protocol,
  handler: Handler,
  treats: Treatment,
  limits: TreatmentLimits,
): Slip[] {
  const isBeside = isAnsweredBeside(protocol, handler);
  const asked = { protocol, limits, treats, leads: leadingTo(treats, protocol) };
  const first = waysOfAnswer(protocol, handler);
  const open: Move[] = [{ to: first, standing: { done: NOTHING_DONE, spent: 0, isBeside } }];
  const seen = new Set<string>();
  const slips: Slip[] = [];
  const nameOf = numbering();
  for (let move = open.pop(); move; move = open.pop()) {
    const name = `${nameOf(move.to)} ${standingName(move.standing)}`;
    if (seen.has(name) || treats(move.to)) continue;
    seen.add(name);
    const { standing } = move;
    open.push(...interruptionsOf(move.to).map(({ first: to }) => ({ to, standing })));
    const outcome = follow(move.to, standing, asked);
    if ("kind" in outcome) slips.push(outcome);
    else open.push(...outcome);
  }
  return slips;
}

/**
 * Whether signs that get worse during this answer are answered at once: by another one that does nothing but go to an emergency
 * with lipid, for toxicity signs or an event of the hospital's own.
 */
function isAnsweredBeside(protocol: Protocol, answer: Handler): boolean {
  return protocol.throughout.some((handler) => {
    if (handler === answer || handler.kind !== "event" || handler.notBefore) return false;
    const isOfSigns = handler.event === "toxicity-signs" || !KNOWN.has(handler.event);
    const [step, ...more] = handler.steps;
    const cutsIn = step?.kind === "go-to-emergency" && more.length === 0;
    return isOfSigns && cutsIn && firstLipidOf(protocol, handler) !== undefined;
  });
}

const KNOWN: ReadonlySet<string> = new Set(KNOWN_EVENTS);

/** What is so on a way: what was done, and the written times since the signs, or since it was asked again. */
interface Standing {
  readonly done: FirstAid;
  readonly spent: number;
  /** Whether another answer is in force that would treat at once; in an emergency none is. */
  readonly isBeside: boolean;
  /** Where the patient is being watched: since which question, and what has been done of it. */
  readonly watched?: Watched;
}

interface Watched {
  readonly question: Question;
  /** Whether somebody has watched since, and it was asked again after that. */
  readonly stage: "not-yet" | "watched" | "asked-again";
}

interface Move {
  readonly to: WayPlace;
  readonly standing: Standing;
}

interface Asked {
  readonly protocol: Protocol;
  readonly limits: TreatmentLimits;
  readonly treats: Treatment;
  readonly leads: Treatment;
}

/** Where a way goes on from a place, or the slip that it ends with. */
type Outcome = readonly Move[] | Slip;

function follow(place: WayPlace, standing: Standing, asked: Asked): Outcome {
  switch (place.kind) {
    case "step":
      return standing.watched
        ? whileWatched(place, standing, standing.watched, asked)
        : beforeLipid(place, standing, asked);
    case "question":
      return atQuestion(place, standing, asked);
    case "round":
      return standing.watched ? goOn(place, standing) : { kind: "round", step: place.step };
    case "rest":
      return whileResting(place, standing, asked);
    case "emergency":
      return goOn(place, { ...standing, isBeside: false });
    case "end":
      return atEnd(place, standing);
  }
}

function goOn({ next }: WayPlace, standing: Standing): Move[] {
  return next.map((to) => ({ to, standing }));
}

function beforeLipid(place: WayStep, standing: Standing, asked: Asked): Outcome {
  const { step } = place;
  const done = withFirstAid(standing.done, step);
  if (!isFirst(step, done, asked.protocol)) return { kind: "comes-first", step };
  return spend(place, { ...standing, done }, writtenTime(step, asked.protocol), asked);
}

/** Lipid that does not count as the first, an infusion before the bolus, may come first as well. */
function isFirst(step: StepOnTheWay, done: FirstAid, protocol: Protocol): boolean {
  return mayComeFirst(step, done, protocol) || lipidGivenIn(step, protocol) !== undefined;
}

function spend(place: WayStep | WayRest, standing: Standing, seconds: number, { limits }: Asked): Outcome {
  const spent = standing.spent + seconds;
  if (spent > limits.beforeLipid) return { kind: "takes-long", step: place.step, seconds: spent };
  return goOn(place, { ...standing, spent });
}

function whileWatched(place: WayStep, standing: Standing, watched: Watched, asked: Asked): Outcome {
  const { step } = place;
  const { question } = watched;
  const done = withFirstAid(standing.done, step);
  if (isFirst(step, NOTHING_DONE, asked.protocol)) {
    return lookAway(place, { ...standing, done }, watched, writtenTime(step, asked.protocol), asked);
  }
  if (!hasFirstAid(done)) return { kind: "no-first-aid", question };
  if (!isAllowedWhileWatched(step)) return { kind: "not-watching", step, question };
  const isWatching = step.kind === "watch" || step.kind === "recovery";
  const stage = isWatching && watched.stage === "not-yet" ? "watched" : watched.stage;
  const seconds = timeWhileWatched(step, asked.protocol);
  return lookAway(place, { ...standing, done }, { ...watched, stage }, seconds, asked);
}

/** Time passes in which nobody asks again, unless a handler answers a patient who gets worse. */
function lookAway(
  place: WayStep | WayRest,
  standing: Standing,
  watched: Watched,
  seconds: number,
  { limits, leads }: Asked,
): Outcome {
  const { question } = watched;
  const isSeen =
    standing.isBeside ||
    interruptionsOf(place).some(
      ({ handler, first }) => handler.kind === "event" && !handler.notBefore && leads(first),
    );
  const spent = isSeen ? 0 : standing.spent + seconds;
  if (spent > limits.lookAgain) return { kind: "unseen", step: place.step, seconds: spent, question };
  const stage = isSeen && watched.stage === "watched" ? "asked-again" : watched.stage;
  return goOn(place, { ...standing, spent, watched: { ...watched, stage } });
}

function whileResting(place: WayRest, standing: Standing, asked: Asked): Outcome {
  const seconds = place.step.takes?.shortest.valueOf() ?? 0;
  return standing.watched
    ? lookAway(place, standing, standing.watched, seconds, asked)
    : spend(place, standing, seconds, asked);
}

/** Where one answer leads to lipid and the other does not, whoever gives the other is watched from then on. */
function atQuestion({ step, next }: WayQuestion, standing: Standing, { leads }: Asked): Move[] {
  const [yes, no] = next;
  const [yesLeads, noLeads] = [leads(yes), leads(no)];
  if (yesLeads === noLeads) {
    const same = yesLeads ? treatedFrom(standing) : standing;
    return [yes, no].map((to) => ({ to, standing: same }));
  }
  const question: Question = { step, answer: yesLeads ? "no" : "yes" };
  return [
    { to: yesLeads ? yes : no, standing: treatedFrom(standing) },
    { to: yesLeads ? no : yes, standing: askedAgain(standing, question) },
  ];
}

function atEnd({ how, origin }: WayEnd, { done, watched }: Standing): Outcome {
  if (how === "interruption-over") return [];
  if (!watched) return how === "returns" ? { kind: "dismissed" } : { kind: "untreated", origin };
  const { question, stage } = watched;
  if (how === "returns" && stage === "not-yet") return { kind: "dismissed", question };
  if (how === "run-ends" && stage !== "asked-again") return { kind: "no-way-back", question };
  return hasFirstAid(done) ? [] : { kind: "no-first-aid", question };
}

/**
 * Whether a way leads from a place to the treatment at once, with nothing before it that may not be; at a question, whether one
 * answer does.
 */
function leadingTo(treats: Treatment, protocol: Protocol): Treatment {
  const known = new Map<WayPlace, boolean>();
  const leads = (place: WayPlace): boolean => {
    const answer = known.get(place);
    if (answer !== undefined) return answer;
    // Whoever comes back to a place without treatment is not led to it.
    known.set(place, false);
    const led = treats(place) || leadsOn(place);
    known.set(place, led);
    return led;
  };
  const leadsOn = (place: WayPlace): boolean => {
    switch (place.kind) {
      case "step":
        return isFirst(place.step, ALL_FIRST_AID, protocol) && place.next.every(leads);
      case "question":
        return place.next.some(leads);
      case "rest":
      case "emergency":
        return place.next.every(leads);
      case "round":
      case "end":
        return false;
    }
  };
  return leads;
}

/** The patient is treated from here on, whether that was watched before or not. */
function treatedFrom({ watched, ...standing }: Standing): Standing {
  return watched ? { ...standing, spent: 0 } : standing;
}

/** Somebody has asked whether lipid is needed, and it is not. */
function askedAgain(standing: Standing, question: Question): Standing {
  const { watched } = standing;
  if (!watched) return { ...standing, spent: 0, watched: { question, stage: "not-yet" } };
  const stage = watched.stage === "not-yet" ? "not-yet" : "asked-again";
  return { ...standing, spent: 0, watched: { ...watched, stage } };
}

/** Gives each place a number of its own. */
function numbering(): (place: WayPlace) => number {
  const numbers = new Map<WayPlace, number>();
  return (place) => {
    const number = numbers.get(place) ?? numbers.size;
    numbers.set(place, number);
    return number;
  };
}

function standingName({ done, spent, isBeside, watched }: Standing): string {
  const question = watched && [originKey(watched.question.step.origin), watched.question.answer];
  return JSON.stringify([[...done].sort(), `${spent}`, isBeside, question, watched?.stage]);
}

const NOTHING_DONE: FirstAid = new Set();
