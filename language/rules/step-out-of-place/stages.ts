import type { Origin } from "@limbwright/shared/finding";
import { innerSteps, type Protocol, type Step } from "../../model/index.ts";
import type { Detected } from "../engine/judgement.ts";

/**
 * Every `end stage` that names a stage which is not around it. Nothing ends there: whoever follows the
 * protocol just goes on, so no run shows it.
 */
export function stagesNotAround(protocol: Protocol): Detected[] {
  const lists = [protocol.steps ?? [], ...[...protocol.throughout, ...protocol.emergencies].map(stepsOf)];
  const ends = lists.flatMap((steps) => endsWithin(steps, []));
  // A routine that is done in several places is written once.
  return [...new Map(ends.map((end) => [`${end.origin.file} ${end.origin.start.offset}`, end])).values()].map(
    words,
  );
}

interface StrayEnd {
  readonly origin: Origin;
  readonly stage: string;
  /** The innermost stage that is around. */
  readonly around?: string;
}

function stepsOf({ steps }: { readonly steps: readonly Step[] }): readonly Step[] {
  return steps;
}

function endsWithin(steps: readonly Step[], around: readonly string[]): StrayEnd[] {
  return steps.flatMap((step) => endsIn(step, around));
}

function endsIn(step: Step, around: readonly string[]): StrayEnd[] {
  if (step.kind === "end-stage") {
    const { stage, origin } = step;
    const innermost = around.at(-1);
    if (stage === undefined || around.includes(stage)) return [];
    return [{ origin, stage, ...(innermost !== undefined && { around: innermost }) }];
  }
  const inside = step.kind === "stage" ? [...around, step.name] : around;
  return innerSteps(step).flatMap((list) => endsWithin(list, inside));
}

function words({ origin, stage, around }: StrayEnd): Detected {
  return {
    origin,
    what: `\`end stage ${stage}\` stands outside the stage \`${stage}\`: nothing ends here, and the team goes on with the next step.`,
    label: `not inside ${stage}`,
    next:
      around === undefined
        ? `Move it into \`stage ${stage} { … }\`, or remove it.`
        : `Write \`end stage\` to end \`${around}\`, or move it into \`stage ${stage} { … }\`.`,
  };
}
