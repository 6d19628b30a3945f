import { contains, type Rational, ratio } from "@limbwright/shared/quantity";
import {
  type Box,
  type Broken,
  compare,
  evaluate,
  type Patient,
  type Region,
  type Relation,
  VARIABLES,
} from "../../language/population/index.ts";
import type { NotDecided } from "../../language/population/limits.ts";
import { findUndefined } from "../language/population/find-undefined.ts";
import { again } from "../questions.ts";
import { interestingPatients } from "./interesting-patients.ts";
import { randomFrom } from "./random.ts";
import { type Question, randomQuestion } from "./random-expression.ts";
import { type Solver, type SolverAnswer, smtAnd, smtNumber, smtOr } from "./smt.ts";
import { Encoding, smtBox, smtBoxes, smtExcess, smtRelation } from "./smt-expression.ts";

/** How the questions of one run were settled. */
export interface Tally {
  holds: number;
  broken: number;
  inexactRegions: number;
  /** Questions with ranges said to hold some violating patients, because they are cut too finely to tell, that hold no other. */
  tooFine: number;
  bandsWithGaps: number;
  /** Rightly not decided: no patient has both values, says the solver too. */
  nobodyHasBoth: number;
  /** Not decided, because the patients would be cut into too many pieces; nothing more is asked then. */
  overBudget: number;
  /** Questions held against the evaluation of many patients: some of all, and any the solver left open. */
  byEvaluation: number;
}

/** Of so many questions one is held against evaluation as well. */
const EVALUATED_IN = 10;

/** Asks the random questions of some seeds. Throws on a disagreement. */
export function askRandomQuestions(solver: Solver, seeds: readonly number[]): Tally {
  const tally: Tally = {
    holds: 0,
    broken: 0,
    inexactRegions: 0,
    tooFine: 0,
    bandsWithGaps: 0,
    nobodyHasBoth: 0,
    overBudget: 0,
    byEvaluation: 0,
  };
  for (const [at, seed] of seeds.entries()) {
    const question = randomQuestion(randomFrom(seed));
    try {
      judge(solver, question, tally, at % EVALUATED_IN === 0);
    } catch (error) {
      throw new Error(`${again(seed)}: ${shown(question)}`, { cause: error });
    }
  }
  return tally;
}

function judge(solver: Solver, question: Question, tally: Tally, evaluated: boolean): void {
  const gaps = findUndefined(question.left, question.box);
  if (gaps.kind === "not-decided") {
    if (!isOverBudget(gaps)) throw new Error(`gaps not decided: ${gaps.limit}`);
    tally.overBudget += 1;
    return;
  }
  judgeGaps(solver, question, gaps.regions, tally);
  const answer = compare(question.left, question.relation, question.right, question.box, {
    measure: question.measure,
  });
  if (answer.kind === "not-decided") {
    if (isOverBudget(answer)) tally.overBudget += 1;
    else if (isPossible(solver, question)) throw new Error(`not decided: ${answer.limit}`);
    else tally.nobodyHasBoth += 1;
    return;
  }
  tally[answer.kind] += 1;
  const regions = answer.kind === "broken" ? answer.regions : [];
  if (answer.kind === "broken") checkWitnesses(question, answer);
  const settled = settledBySolver(solver, question, answer.kind === "broken" ? answer : undefined, tally);
  if (!settled || evaluated) {
    tally.byEvaluation += 1;
    checkByEvaluation(question, regions);
  }
  tally.inexactRegions += regions.filter(({ exact }) => !exact).length;
}

/** Whether it is not decided because the patients would be cut into too many pieces; nothing more is asked then. */
function isOverBudget({ limit }: NotDecided): boolean {
  return limit.includes("more than");
}

/** Whether any patient has both values. */
function isPossible(solver: Solver, { left, right, box }: Question): boolean {
  const encoding = new Encoding();
  const defined = [encoding.expression(left).defined, encoding.expression(right).defined];
  return solver.ask(script(encoding, [smtBox(box), ...defined])) !== "unsat";
}

/**
 * Asks for a patient on whom solver and regions disagree, in either direction, or who is worse than the
 * worst; and, of each region said to hold some of its patients only, for one who does not belong. There is one, unless
 * the patients are cut too finely to tell.
 * False when the solver ran out of time.
 */
function settledBySolver(
  solver: Solver,
  question: Question,
  broken: Broken | undefined,
  tally: Tally,
): boolean {
  const encoding = new Encoding();
  const violated = violation(encoding, question);
  const regions = broken?.regions ?? [];
  const exact = smtBoxes(rangesOf(regions, true));
  const inexact = smtBoxes(rangesOf(regions, false));
  const disagreement = smtOr([
    smtAnd([exact, `(not ${violated.holds})`]),
    smtAnd([violated.holds, `(not ${smtOr([exact, inexact])})`]),
    ...(broken ? [worse(violated.holds, violated.excess, question, broken)] : []),
  ]);
  const answer = solver.ask(script(encoding, [smtBox(question.box), disagreement]));
  if (answer === "sat") throw new Error("the solver finds a patient on whom the two disagree");
  const truthful = rangesOf(regions, false).map((ranges) =>
    solver.ask(script(encoding, [smtBox(question.box), smtBox(ranges), `(not ${violated.holds})`])),
  );
  if (truthful.includes("unsat")) tally.tooFine += 1;
  const reached = broken ? approaches(solver, encoding, violated, question, broken) : "sat";
  if (reached === "unsat") throw new Error("no violation comes near the worst");
  return answer === "unsat" && !truthful.includes("unknown") && reached === "sat";
}

interface Violated {
  readonly holds: string;
  readonly excess: string;
}

function violation(encoding: Encoding, { left, right, relation }: Question): Violated {
  const a = encoding.expression(left);
  const b = encoding.expression(right);
  const related = smtRelation(relation, a.value, b.value);
  return {
    holds: encoding.define("Bool", smtAnd([a.defined, b.defined, `(not ${related})`])),
    excess: encoding.define("Real", smtExcess(relation, a.value, b.value)),
  };
}

/** A violation beyond the worst; at the worst too when the worst is only approached. */
function worse(holds: string, excess: string, question: Question, { worst }: Broken): string {
  if (worst.kind === "endless") return "false";
  const sign = worst.kind === "attained" ? ">" : ">=";
  return smtAnd([holds, `(${sign} ${excess} ${measured(question, worst.excess, worst.patient)})`]);
}

/** A violation within a thousandth of the worst exists, also where no patient attains it. */
function approaches(
  solver: Solver,
  encoding: Encoding,
  { holds, excess }: Violated,
  question: Question,
  { worst }: Broken,
): SolverAnswer {
  if (worst.kind !== "approached") return "sat";
  const nearly = worst.excess.sub(ratio(1, 1000));
  const close = `(> ${excess} ${measured(question, nearly, worst.patient)})`;
  return solver.ask(script(encoding, [smtBox(question.box), holds, close]));
}

/** The excess that counts as much as `excess` at `patient`: the same, or the same per kg. */
function measured({ measure }: Question, excess: Rational, patient: Patient): string {
  if (measure === "absolute") return smtNumber(excess);
  const weight = patient.weight;
  if (!weight) throw new Error("a worst patient per weight has no weight");
  return `(* ${smtNumber(excess.div(weight))} weight)`;
}

function judgeGaps(solver: Solver, { left, box }: Question, regions: readonly Region[], tally: Tally): void {
  if (regions.length > 0) tally.bandsWithGaps += 1;
  const encoding = new Encoding();
  const { defined } = encoding.expression(left);
  const exact = smtBoxes(rangesOf(regions, true));
  const inexact = smtBoxes(rangesOf(regions, false));
  const disagreement = smtOr([
    smtAnd([exact, defined]),
    smtAnd([`(not ${defined})`, `(not ${smtOr([exact, inexact])})`]),
  ]);
  if (defined === "true" && regions.length === 0) return;
  const found = solver.ask(script(encoding, [smtBox(box), disagreement]));
  if (found !== "unsat") throw new Error(`the patients without a value are told wrongly: ${found}`);
}

/** Worst and clean patient lie in the box and have the values that are told of them. */
function checkWitnesses(question: Question, { worst, clean }: Broken): void {
  const { left, right, relation, box } = question;
  const violates = (patient: Patient): boolean =>
    !isRelated(relation, evaluate(left, patient), evaluate(right, patient));
  if (!isCovered(box, clean.patient) || !violates(clean.patient))
    throw new Error("the clean patient does not violate");
  if (worst.kind !== "attained") return;
  if (!isCovered(box, worst.patient) || !violates(worst.patient))
    throw new Error("the worst patient does not violate");
  for (const { patient, left: toldLeft, right: toldRight } of [worst, clean]) {
    const same = evaluate(left, patient)?.equals(toldLeft) && evaluate(right, patient)?.equals(toldRight);
    if (!same) throw new Error("a quoted patient's values are told wrongly");
  }
}

/** The fall-back: every interesting patient violates exactly when a region says so. */
function checkByEvaluation({ left, right, relation, box }: Question, regions: readonly Region[]): void {
  for (const patient of interestingPatients([left, right], box)) {
    const a = evaluate(left, patient);
    const b = evaluate(right, patient);
    const violates = a !== undefined && b !== undefined && !isRelated(relation, a, b);
    const inside = regions.filter(({ ranges }) => isCovered(ranges, patient));
    const told = violates ? inside.length > 0 : !inside.some(({ exact }) => exact);
    if (!told) throw new Error(`evaluation disagrees at ${shown(patient)}`);
  }
}

/** Undefined values stand in no relation, and break none. */
function isRelated(relation: Relation, left: Rational | undefined, right: Rational | undefined): boolean {
  if (!left || !right) return true;
  const order = left.compare(right);
  switch (relation) {
    case "at-most":
      return order <= 0;
    case "under":
      return order < 0;
    case "at-least":
      return order >= 0;
    case "over":
      return order > 0;
    case "equal":
      return order === 0;
  }
}

function isCovered(box: Box, patient: Patient): boolean {
  return VARIABLES.every((variable) => {
    const value = patient[variable];
    return !value || contains(box[variable] ?? {}, value);
  });
}

function rangesOf(regions: readonly Region[], exact: boolean): Box[] {
  return regions.filter((region) => region.exact === exact).map(({ ranges }) => ranges);
}

function script(encoding: Encoding, assertions: readonly string[]): string {
  return `${encoding.text}\n${assertions.map((assertion) => `(assert ${assertion})`).join("\n")}\n(check-sat)`;
}

/** Anything in one line, rationals as fractions. */
function shown(value: unknown): string {
  return JSON.stringify(value, (_key, inner: unknown) =>
    typeof inner === "bigint" ? inner.toString() : inner,
  );
}
