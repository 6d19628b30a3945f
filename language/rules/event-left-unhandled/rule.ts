import { type AmountNode, type DeclaredEvent, type Protocol, partsOfAmount } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import { answeredEvents } from "../facts/emergencies-reached.ts";

export const rule: Rule = {
  judge: ({ protocol }) => judge(protocol),
};

function judge(protocol: Protocol): Judgement {
  const handled = answeredEvents(protocol);
  const unhandled = [
    ...(handled.has("tourniquet-pain") ? [] : tourniquetPain(protocol)),
    ...(handled.has("systolic-rises") ? [] : risingSystolic(protocol)),
    ...eventsDeclaredHere(protocol)
      .filter(({ name }) => !handled.has(name))
      .map(tellUnanswered),
  ];
  if (unhandled.length === 0) return HOLDS;
  if (protocol.incomplete) return undecided("part of the steps was not understood");
  return found(...unhandled);
}

function tourniquetPain({ cuffs }: Protocol): Detected[] {
  if (!cuffs || cuffs.cuffs.length < 2) return [];
  const [proximal, distal] = cuffs.cuffs.map(({ name }) => name);
  return [
    {
      origin: cuffs.origin,
      what: "There are two cuffs, and nothing says what is done about tourniquet pain.",
      label: "no answer to tourniquet pain",
      next: `Write \`when tourniquet-pain once { inflate ${distal} … confirm ${distal} … deflate ${proximal} }\` in the stage of the procedure.`,
    },
  ];
}

/** A pressure that was set by the systolic of the beginning no longer closes the artery when that rises. */
function risingSystolic({ cuffs }: Protocol): Detected[] {
  const amount = [cuffs?.pressure, cuffs?.occlusion].find((one) => one && usesSystolic(one.node));
  return amount
    ? [
        {
          origin: amount.origin,
          what: "The cuff pressure is set by the systolic pressure, and nothing says what is done when that rises.",
          label: "no answer to a rising systolic",
          next: 'Write `when systolic-rises { task "Raise the cuff pressure by as much as systolic has risen" takes 10 s to 1 min }` in the stage of the procedure.',
        },
      ]
    : [];
}

function usesSystolic(node: AmountNode): boolean {
  const isSystolic = (node.kind === "variable" || node.kind === "bands") && node.variable === "systolic";
  return isSystolic || partsOfAmount(node).some(usesSystolic);
}

/** Events of a shared file are for the protocols that want them; those of the protocol's own file are for it. */
function eventsDeclaredHere(protocol: Protocol): DeclaredEvent[] {
  return protocol.declaredEvents.filter(({ origin }) => origin.file === protocol.origin.file);
}

function tellUnanswered({ name, origin }: DeclaredEvent): Detected {
  return {
    origin,
    what: `The event \`${name}\` is declared, but no \`when\` answers it.`,
    label: "no answer",
    next: `Write \`when ${name} { … }\` in a stage or in \`throughout\`, or remove the event.`,
  };
}
