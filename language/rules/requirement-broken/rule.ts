import type { Repair } from "@limbwright/shared/finding";
import { quantityText } from "@limbwright/shared/quantity";
import type { Protocol, Requirement } from "../../model/index.ts";
import { type BrokenCheck, requirementsInOrder } from "../../runs/index.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import type { Detected, Judgement, Words } from "../engine/judgement.ts";
import { judgeOverRuns } from "../engine/over-runs.ts";
import { actionWords, conditionWords } from "../facts/action-words.ts";
import { isSamePlace } from "../facts/shown-run.ts";
import { doneBefore } from "../facts/step-repairs.ts";

/** What it looks for in every run is written in the protocol: the automaton watches for it. */
export const rule: Rule<"runs"> = { needs: ["runs"], judge };

function judge(context: RuleContext<"runs">): Judgement {
  const requirements = requirementsInOrder(context.protocol);
  return judgeOverRuns(context, (broken) => {
    const requirement = requirements[Number(broken.about)];
    if (!requirement) throw new Error(`there is no requirement ${broken.about}`);
    return {
      origin: broken.origin,
      ...wordsOf(requirement, broken),
      subject: requirement.title,
      related: otherPlace(requirement, broken),
      repairs: doneFirst(context.protocol, requirement, broken),
    };
  });
}

function wordsOf(requirement: Requirement, { run }: BrokenCheck): Words {
  const { property } = requirement;
  const title = requirement.title === "" ? "the requirement" : `"${requirement.title}"`;
  switch (property.kind) {
    case "never":
      return {
        what: `A run comes to what ${title} says must never be: \`${conditionWords(property.condition)}\`.`,
        label: "is not kept on every run",
        next: "Change the steps so that it cannot come about, or ask for less in the requirement.",
      };
    case "only-when":
      return {
        what: `\`${actionWords(property.action)}\` can begin while this is not so: \`${conditionWords(property.condition)}\` (${title}).`,
        label: "not allowed here on every run",
        next: "Before this step, write what makes it so, on every way that leads here.",
      };
    case "only-after":
      return {
        what: `\`${actionWords(property.action)}\` can begin before \`${actionWords(property.earlier)}\` was done (${title}).`,
        label: `may come before \`${actionWords(property.earlier)}\``,
        next: `Write \`${actionWords(property.earlier)}\` before this step, on every way that leads here.`,
      };
    case "within": {
      const [action, earlier] = [actionWords(property.action), actionWords(property.earlier)];
      const limit = quantityText(property.limit);
      return run.steps.at(-1)?.kind === "finish"
        ? {
            what: `A run can end without \`${action}\` after \`${earlier}\` (${title}).`,
            label: "may never be done",
            next: `Write \`${action}\` after every \`${earlier}\`.`,
          }
        : {
            what: `\`${action}\` can be done later than ${limit} after \`${earlier}\` (${title}).`,
            label: `may be later than ${limit}`,
            next: `Write it nearer to \`${earlier}\`, give the steps in between a longest time, or require less.`,
          };
    }
  }
}

/** The requirement where the step is to blame, and the step where the requirement is. */
function otherPlace({ origin }: Requirement, broken: BrokenCheck): Detected["related"] & object {
  if (!isSamePlace(origin, broken.origin)) return [{ origin, note: "the requirement" }];
  const last = broken.run.steps.findLast((step) => step.origin !== undefined);
  return last?.origin ? [{ origin: last.origin, note: `the run is here, at \`${last.says}\`` }] : [];
}

/** Only where the requirement says what comes first, and not a task, whose time nobody can know. */
function doneFirst(protocol: Protocol, { property }: Requirement, { origin }: BrokenCheck): Repair[] {
  return property.kind === "only-after" && property.earlier.kind !== "task"
    ? doneBefore(protocol, origin, actionWords(property.earlier))
    : [];
}
