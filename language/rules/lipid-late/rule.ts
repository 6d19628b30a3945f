import type { Repair } from "@limbwright/shared/finding";
import { allHandlers, type Handler, type Protocol, type Step } from "../../model/index.ts";
import { isOfToxicitySigns, stepWords } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { isLipidEmulsion } from "../facts/drugs.ts";
import { isInfusion } from "../facts/emergencies-reached.ts";
import { timeText } from "../facts/longest-time.ts";
import { repairByDoingSooner } from "../facts/step-repairs.ts";
import { firstLipidOf, type Question, type Slip, slipsOf } from "../facts/treatment-ways.ts";

export const rule: Rule = { judge };

function judge(context: RuleContext): Judgement {
  const answers = allHandlers(context.protocol).filter(isOfToxicitySigns);
  if (answers.length === 0) return undecided("nothing answers signs of toxicity");
  return eachOnce(combine(answers.map((handler) => judgeAnswer(handler, context))));
}

/** Two answers may lead to one emergency. */
function eachOnce({ found: detected, undecided: open }: Judgement): Judgement {
  const places = new Map(
    detected.map((one) => [`${one.origin.file} ${one.origin.start.offset} ${one.label}`, one]),
  );
  return { found: [...places.values()], undecided: open };
}

function judgeAnswer(handler: Handler, { protocol, parameter }: RuleContext): Judgement {
  const treats = firstLipidOf(protocol, handler);
  if (!treats) return undecided("an answer to signs of toxicity gives no lipid at all", handler.origin);
  const limits = {
    beforeLipid: parameter("before-lipid").value.valueOf(),
    lookAgain: parameter("look-again").value.valueOf(),
  };
  const slips = slipsOf(protocol, handler, treats, limits);
  const words = slips.flatMap((slip) =>
    protocol.incomplete && isOfAbsence(slip)
      ? []
      : wordsOf(slip, limits).map((words) => ({ ...words, repairs: repairsOf(slip, protocol) })),
  );
  if (words.length > 0) return found(...words);
  return protocol.incomplete ? undecided("part of the steps was not understood", handler.origin) : HOLDS;
}

/** The bolus before what keeps it waiting; help and oxygen stay before it. */
function repairsOf(slip: Slip, protocol: Protocol): Repair[] {
  if (slip.kind !== "comes-first") return [];
  const boluses = protocol.doses.filter((dose) => isLipidEmulsion(dose.agent) && !isInfusion(dose));
  return repairByDoingSooner(protocol, slip.step.origin, {
    step: (step) => step.kind === "give" && boluses.some(({ name }) => name === step.dose),
    mayWait: (step) => step.kind === "task" && step.topic !== "help" && step.topic !== "oxygen",
  });
}

type Limits = { readonly beforeLipid: number; readonly lookAgain: number };

/** Whether a slip rests on what is not written: a line that was not understood may be what lacks. */
function isOfAbsence({ kind }: Slip): boolean {
  return kind === "untreated" || kind === "no-first-aid" || kind === "no-way-back";
}

/** Nothing for a way that only leads back: `no-toxicity-plan` judges that. */
function wordsOf(slip: Slip, { beforeLipid, lookAgain }: Limits): Detected[] {
  switch (slip.kind) {
    case "comes-first":
      return [comesFirst(slip.step)];
    case "takes-long":
      return [
        {
          origin: slip.step.takes?.origin ?? slip.step.origin,
          what: `With ${said(slip.step)}, what comes before the first lipid may take ${timeText(slip.seconds)}; ${timeText(beforeLipid)} is the most.`,
          label: "keeps the lipid waiting",
          next: `Give the lipid first, or write a shorter time.`,
        },
      ];
    case "round":
      return [
        {
          origin: slip.step.origin,
          what: `${said(slip.step)} goes round again before the first lipid.`,
          label: "again, before the lipid",
          next: "Do each thing once, give the lipid, and repeat what is needed after it.",
        },
      ];
    case "untreated":
      return [
        {
          origin: slip.origin,
          what: "One way through the answer to signs of toxicity ends without lipid.",
          label: "no lipid on one way",
          next: "Give the lipid on this way, or ask whether it is needed, watch whoever does not need it, and ask again.",
        },
      ];
    case "dismissed":
      return [];
    case "no-first-aid":
      return [
        {
          origin: slip.question.step.origin,
          what: `Whoever answers ${answerText(slip.question)} goes on without help or without oxygen.`,
          label: "asked before help and oxygen",
          next: "Write `task help` and `task oxygen` before the question.",
        },
      ];
    case "not-watching":
      return [notWatching(slip.step, slip.question)];
    case "unseen":
      return [
        {
          origin: slip.step.origin,
          what: `After ${answerText(slip.question)} nobody asks for ${timeText(slip.seconds)} whether it is worse; ${timeText(lookAgain)} is the most.`,
          label: "nobody asks again",
          next: `Watch for ${timeText(lookAgain)} at most and ask again, with a way to the lipid.`,
          related: asked(slip.question),
        },
      ];
    case "no-way-back":
      return [
        {
          origin: slip.question.step.origin,
          what: `After ${answerText(slip.question)} the patient is not watched and then asked about again: nothing leads to the lipid when it gets worse.`,
          label: "no way back to the lipid",
          next: 'Write `watch 5 min` and `ask "Worse?"` there, with the lipid under *yes*.',
        },
      ];
  }
}

function comesFirst(step: Step): Detected {
  const next =
    step.kind === "task" && step.topic === undefined
      ? "Move it behind the first lipid, or mark what it is: `task help`, `oxygen`, `stop-injection`, `seizure` or `arrest`."
      : "Move it behind the first lipid.";
  return {
    origin: step.origin,
    what: `After signs of toxicity ${said(step)} comes before the first lipid.`,
    label: "before the lipid",
    next,
  };
}

function notWatching(step: Step, question: Question): Detected {
  return {
    origin: step.origin,
    what: `After ${answerText(question)} a patient with signs of toxicity is watched; ${said(step)} is ${whatItIs(step)}.`,
    label: "a patient with signs is only watched",
    next: "Write `watch` here, and neither a drug nor a release.",
    related: asked(question),
  };
}

function whatItIs({ kind }: Step): string {
  if (kind === "deflate") return "a release";
  return kind === "give" || kind === "inject" ? "a drug" : "no watching";
}

function said(step: Step): string {
  return `\`${stepWords(step)}\``;
}

function answerText({ step, answer }: Question): string {
  return `*${answer}* to "${step.question}"`;
}

function asked({ step }: Question) {
  return [{ origin: step.origin, note: "asked here" }];
}
