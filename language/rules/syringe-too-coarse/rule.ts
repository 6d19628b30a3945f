import type { Origin } from "@limbwright/shared/finding";
import { amountText, inBase, LITTLE, ONE, type Rational, USUAL_MARK } from "@limbwright/shared/quantity";
import type { Adjuvant, Dose, Syringe } from "../../model/index.ts";
import { type Expression, regionsText, type Witness, withoutRounding } from "../../population/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { evidenceOf, judgePatients } from "../engine/evidence.ts";
import { combine, HOLDS, type Judgement } from "../engine/judgement.ts";
import { type DrawingUp, drawingUpIn, isRescue, markText, syringeFor } from "../facts/syringes.ts";

export const rule: Rule = {
  judge: (context) => {
    const by = drawingUpIn(context.protocol);
    const drawn = context.protocol.doses.flatMap((dose) => [
      ...drawnAlone(dose, by),
      ...dose.adjuvants.flatMap((one) => drawnInto(dose, one, by)),
    ]);
    return combine(drawn.map((one) => judgeDrawn(one, context)));
  },
};

/** What is drawn up by itself: a dose, or what is mixed into one. */
interface Drawn {
  readonly name: string;
  readonly volume: Expression;
  readonly syringe?: Syringe;
  readonly isToRescue: boolean;
  readonly by: DrawingUp;
  readonly origin: Origin;
}

function drawnAlone(dose: Dose, by: DrawingUp): Drawn[] {
  const { name, agent, amount, volume } = dose;
  if (!amount || !volume) return [];
  const syringe = syringeFor(dose);
  const isToRescue = isRescue(dose, agent, by);
  return [{ name, volume, ...(syringe && { syringe }), isToRescue, by, origin: amount.origin }];
}

function drawnInto(dose: Dose, { agent, volume, origin }: Adjuvant, by: DrawingUp): Drawn[] {
  if (!agent || !volume) return [];
  const { name, syringe } = agent;
  return [{ name, volume, ...(syringe && { syringe }), isToRescue: isRescue(dose, agent, by), by, origin }];
}

/** The gravest of what is wrong is told alone: a finer syringe mends all of it. */
function judgeDrawn(drawn: Drawn, context: RuleContext): Judgement {
  const questions = [judgeNothing, judgeLoss, judgeNamed].map((judge) => () => judge(drawn, context));
  for (const ask of questions) {
    const judged = ask();
    if (judged.found.length + judged.undecided.length > 0) return judged;
  }
  return HOLDS;
}

/** Below the first mark nothing can be drawn up. */
function judgeNothing({ name, volume, syringe, origin }: Drawn, context: RuleContext): Judgement {
  if (!syringe) return HOLDS;
  return judgePatients(
    context,
    { amount: volume, is: "at-least", limit: inBase(syringe.mark), origin },
    (broken) => ({
      origin,
      severity: "unsafe",
      what: `\`${name}\` is less than the first mark of its syringe, ${markText(syringe.mark)}: ${regionsText(broken.regions)}.`,
      label: "nothing can be drawn up",
      next: FINER,
      related: [{ origin: syringe.origin, note: "its syringe" }],
      patients: evidenceOf(broken, ({ left }) => amountText(left, "mL")),
    }),
  );
}

const FINER =
  "Name a syringe with finer marks, such as `syringe 1 mL marked every 0.01 mL`, or have the drug diluted.";

/** What the amount's own rounding and the marks take away together. */
function judgeLoss(drawn: Drawn, context: RuleContext): Judgement {
  const { name, volume, syringe, isToRescue, by, origin } = drawn;
  const most = by.mostLost;
  const held = lossOf(volume, syringe && inBase(syringe.mark), most);
  if (!held) return HOLDS;
  const percent = `${most.mul(100).toString()} %`;
  const says = ({ left, right }: Witness) =>
    `${amountText(left, "mL")} of ${amountText(right.div(most.neg().add(1)), "mL")}`;
  const takes = syringe
    ? `The marks of its syringe, ${markText(syringe.mark)} apart, take`
    : "Rounding down takes";
  return judgePatients(
    context,
    { amount: held.drawn, is: "at-least", limit: held.least, origin },
    (broken) => ({
      origin,
      severity: isToRescue ? "unsafe" : "doubtful",
      what: `${takes} more than ${percent} of \`${name}\` away: ${regionsText(broken.regions)}.`,
      label: `loses more than ${percent}`,
      next: syringe ? FINER : "Round it to a smaller step.",
      ...(syringe && { related: [{ origin: syringe.origin, note: "its syringe" }] }),
      patients: evidenceOf(broken, says),
    }),
  );
}

/**
 * What is drawn up, and the least that it may be; undefined where nothing is rounded. From so much on that a whole mark is less than
 * what may be lost there is nothing to ask, and a fine scale would make many pieces.
 */
function lossOf(volume: Expression, mark: Rational | undefined, most: Rational) {
  const exact = withoutRounding(volume);
  const isRounded = exact !== volume;
  if (!mark && !isRounded) return undefined;
  const enough = mark && !isRounded ? ONE.div(most).ceil().mul(mark) : undefined;
  const within = (of: Expression): Expression =>
    enough ? { kind: "lesser", left: of, right: { kind: "constant", value: enough } } : of;
  const drawn: Expression = mark ? { kind: "rounded-down", step: mark, of: within(volume) } : volume;
  const least: Expression = { kind: "scaled", factor: most.neg().add(1), of: within(exact) };
  return { drawn, least };
}

/** A rescue dose that no usual syringe measures has to say in which it is drawn up: none is guessed. */
function judgeNamed(drawn: Drawn, context: RuleContext): Judgement {
  const { name, volume, syringe, isToRescue, by, origin } = drawn;
  if (syringe || !isToRescue) return HOLDS;
  const usual = lossOf(volume, USUAL_MARK, by.mostLost);
  const asked = [
    { amount: volume, is: "over" as const, limit: LITTLE, origin },
    ...(usual ? [{ amount: usual.drawn, is: "at-least" as const, limit: usual.least, origin }] : []),
  ];
  const judged = asked.map((question) =>
    judgePatients(context, question, (broken) => ({
      origin,
      severity: "doubtful",
      what: `Nobody says in which syringe \`${name}\` is drawn up: ${regionsText(broken.regions)}.`,
      label: "too little for the usual syringes",
      next: "Name its syringe, such as `syringe 10 mL marked every 0.2 mL`, here or at the drug.",
      patients: evidenceOf(broken, ({ left }) => amountText(left, "mL")),
    })),
  );
  return judged.find(({ found }) => found.length > 0) ?? combine(judged);
}
