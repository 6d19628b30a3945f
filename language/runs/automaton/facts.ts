import type { Assignment, Condition, Variable } from "@limbwright/shared/runtime";
import { allSteps, type CuffChoice, type Protocol } from "../../model/index.ts";

/**
 * What is so at a moment of a run: the variables of the automaton by their names, and the conditions that
 * steps and rules ask.
 */

/** The clock from the end of the last injection. */
export const HOLD = "hold";
/** The clock from the end of the first inflation. */
export const OCCLUSION = "occlusion";
/** The clock from the last deflation that left no cuff up. */
export const FLAT_TIME = "flat";
/** The clock from the end of the first inflation of a test of the cuffs. */
export const CUFF_TEST_TIME = "cuff test";

export const FLAT = 0;
export const UP = 1;
export const CONFIRMED = 2;

/** Values of `drug`: not injected, behind the cuff, or let go by a release. */
export const NOT_INJECTED = 0;
export const IN_LIMB = 1;
export const RELEASED = 2;

/** More deflations than these are as good as these. */
export const MOST_DEFLATIONS = 9;

/** The variables that every protocol has, with the cuffs it names. */
export function baseVariables(cuffs: readonly string[]): Variable[] {
  const yesNo = (name: string): Variable => ({ name, values: ["no", "yes"], first: 0 });
  return [
    ...cuffs.map((cuff) => ({ name: cuffVariable(cuff), values: ["flat", "up", "confirmed"], first: FLAT })),
    { name: "bandage", values: ["off", "on"], first: 0 },
    { name: "cannula", values: ["out", "in"], first: 0 },
    yesNo("emptied"),
    yesNo("paused"),
    yesNo("line checked"),
    yesNo("pulse gone"),
    { name: "drug", values: ["not injected", "in the limb", "released"], first: NOT_INJECTED },
    yesNo("hold runs"),
    yesNo("inflated"),
    yesNo("in force"),
    yesNo("emergency"),
    yesNo("leaked"),
    yesNo("toxicity seen"),
    { name: "deflations", first: 0 },
  ];
}

export function cuffVariable(cuff: string): string {
  return `${CUFF}${cuff}`;
}

/** The cuff that a variable tells of; undefined for any other variable. */
export function cuffOf(variable: string): string | undefined {
  return variable.startsWith(CUFF) ? variable.slice(CUFF.length) : undefined;
}

const CUFF = "cuff ";

export function is(variable: string, value: number) {
  return { variable, is: value };
}

export function all(...conditions: readonly Condition[]): Condition {
  return conditions.length === 1 && conditions[0] ? conditions[0] : { all: conditions };
}

export function any(...conditions: readonly Condition[]): Condition {
  return conditions.length === 1 && conditions[0] ? conditions[0] : { any: conditions };
}

export function not(condition: Condition): Condition {
  return { not: condition };
}

export const ALWAYS: Condition = { all: [] };

export function isUp(cuff: string): Condition {
  return { variable: cuffVariable(cuff), atLeast: UP };
}

export function isFlat(cuff: string): Condition {
  return is(cuffVariable(cuff), FLAT);
}

export function isConfirmed(cuff: string): Condition {
  return is(cuffVariable(cuff), CONFIRMED);
}

export function someUp(cuffs: readonly string[]): Condition {
  return any(...cuffs.map(isUp));
}

export function noneUp(cuffs: readonly string[]): Condition {
  return all(...cuffs.map(isFlat));
}

export function someConfirmed(cuffs: readonly string[]): Condition {
  return any(...cuffs.map(isConfirmed));
}

export const BANDAGE_ON = is("bandage", 1);
export const CANNULA_IN = is("cannula", 1);
export const EMPTIED = is("emptied", 1);
/** Whether patient, side, drug and dose were read aloud together. */
export const PAUSED = is("paused", 1);
/** Whether it was felt or seen that no blood reaches the limb. */
export const PULSE_GONE = is("pulse gone", 1);
/** Whether the line was looked at since the cannula went in. */
export const LINE_CHECKED = is("line checked", 1);
export const DRUG_IN_LIMB = is("drug", IN_LIMB);
export const RELEASED_DRUG = is("drug", RELEASED);
export const DRUG_GIVEN = not(is("drug", NOT_INJECTED));
/** The clock that counts from the end of the last injection. */
export const HOLD_RUNS = is("hold runs", 1);
/** Whether a cuff was ever inflated, so that occlusion counts. */
export const INFLATED = is("inflated", 1);
/** From the first inflation to the end of recovery. */
export const IN_FORCE = is("in force", 1);
export const LEAKED = is("leaked", 1);
/** Whether signs of toxicity were seen and answered, after a dose went behind the cuff or into the tissues: to the end of the run. */
export const TOXICITY_SEEN = is("toxicity seen", 1);

const TESTED = "cuffs tested";
/** Whether the cuffs were let down after a short test, before anything was injected: where there may be one. */
export const CUFFS_TESTED = is(TESTED, 1);
/** The variable that tells so. */
export const CUFFS_TESTED_VARIABLE: Variable = { name: TESTED, values: ["no", "yes"], first: 0 };

const LET_GO = "let go for emergency";
/** Whether a cuff was let down to save limb or life: known where some step says so. */
export const LET_GO_FOR_EMERGENCY = { variable: LET_GO, atLeast: 1 };
/** The same in an emergency after toxicity signs. */
export const LET_GO_AFTER_SIGNS = is(LET_GO, 2);

/** The variable that tells so, where some step lets a cuff down like that. */
export function letGoVariables(protocol: Protocol): Variable[] {
  return letsGoForEmergency(protocol)
    ? [{ name: LET_GO, values: ["no", "in the plan", "after toxicity signs"], first: 0 }]
    : [];
}

/** Whether some step lets a cuff down to save limb or life. */
export function letsGoForEmergency(protocol: Protocol): boolean {
  return [...allSteps(protocol)].some((step) => step.kind === "deflate" && step.forEmergency);
}

export function hasBeen(moment: string): Condition {
  return is(`${moment} has been`, 1);
}

export function givenVariable(dose: string): string {
  return `${GIVEN}${dose}`;
}

/** Whether one of some doses was begun. */
export function someGiven(doses: readonly string[]): Condition {
  return any(...doses.map((dose) => ({ variable: givenVariable(dose), atLeast: 1 })));
}

/** The dose whose givings a variable counts; undefined for any other variable. */
export function doseOf(variable: string): string | undefined {
  return variable.startsWith(GIVEN) ? variable.slice(GIVEN.length) : undefined;
}

const GIVEN = "given ";

export function set(variable: string, to: number, when?: Condition): Assignment {
  return { variable, to, ...(when && { when }) };
}

export function cuffNames(protocol: Protocol): string[] {
  return (protocol.cuffs?.cuffs ?? []).map(({ name }) => name);
}

/** The names of the cuffs that a step acts on. */
export function pickCuffs(choice: CuffChoice, cuffs: readonly string[]): string[] {
  return choice.kind === "all" ? [...cuffs] : cuffs.filter((name) => name === choice.name);
}

/** Whether letting some cuffs down leaves none up that was up before. */
export function leavesNoneUp(deflated: readonly string[], cuffs: readonly string[]): Condition {
  const others = cuffs.filter((name) => !deflated.includes(name));
  return all(someUp(deflated), ...others.map(isFlat));
}
