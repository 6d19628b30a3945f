import { allSteps, type CuffPlace, type Protocol, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { type Limb, wherePointed } from "../facts/limb-words.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const steps = [...allSteps(protocol)].filter(isAtTheLine);
    const seen = new Set<string>();
    const once = steps.filter(({ origin }) => {
      const key = `${origin.file}:${origin.start.offset}`;
      return !seen.has(key) && seen.add(key);
    });
    const sides = sidesAtCannula(protocol);
    return found(...once.flatMap((step) => inStep(step, protocol, sides)));
  },
};

/** Steps that are done at the cannula of the blocked limb. */
function isAtTheLine({ kind }: Step): boolean {
  return kind === "inject" || kind === "insert-cannula";
}

/** Words for what is not the blocked limb, or for a line that is not its cannula. */
const ELSEWHERE =
  /\b(?:other|opposite|contralateral|sound|good|healthy|unaffected|uninjured|unhurt|non-?operated|second)\b[ -](?:\w+ )?(?:arm|forearm|hand|wrist|leg|foot|ankle|limb|side|line|cannula|drip|vein|port|access)\b|\bcentral (?:line|venous)\b|\bpicc\b|\b(?:jugular|subclavian|femoral) (?:line|vein|catheter)\b|\bcontralateral\b|\b(?:the|into|via|through) drip\b|\brescue (?:line|cannula|access)\b/i;

/** The text keeps away from it, or tells both apart. */
const KEEPS_AWAY =
  /\b(?:not|never|no|nor|without|closed?|clamp\w*|stays|runs|running|disconnect\w*|away|off|this|same|blocked|injured|operated)\b|\bdon['’]t\b/i;

function inStep(step: Step, { cuffs }: Protocol, sides: ReadonlySet<string>): Detected[] {
  return step.notes.flatMap((note) => {
    const words = elsewhereIn(note, cuffs?.place?.value) ?? otherSide(step, note, sides);
    return words === undefined ? [] : [tell(step, note, words)];
  });
}

function elsewhereIn(note: string, place: CuffPlace | undefined): string | undefined {
  if (KEEPS_AWAY.test(note)) return undefined;
  const said = ELSEWHERE.exec(note)?.[0];
  if (said !== undefined) return said;
  if (place === undefined) return undefined;
  const [blocked, other] = LIMB_OF[place] === "arm" ? ["an arm", "leg"] : ["a leg", "arm"];
  const named = wherePointed([note.replace(NO_LIMB, "")]).limbs;
  return named.some((limb) => limb === other) && !named.includes(LIMB_OF[place])
    ? `${other === "arm" ? "an arm" : "a leg"}, where ${blocked} is blocked`
    : undefined;
}

const LIMB_OF: Readonly<Record<CuffPlace, Limb>> = {
  "upper-arm": "arm",
  forearm: "arm",
  thigh: "leg",
  calf: "leg",
  ankle: "leg",
};

/** Words that sound like a limb and are none: "by hand", "foot end", "one finger on the cuff". */
const NO_LIMB =
  /\b(?:by|one|a|your|second pair of) (?:hands?|finger)\b|\bhand over\b|\bfoot (?:end|of)\b|\b(?:fingers?|hands?) (?:on|to)\b|\bto hand\b|\bat hand\b/gi;

/** The sides that the notes on the cannula name. */
function sidesAtCannula(protocol: Protocol): ReadonlySet<string> {
  const notes = [...allSteps(protocol)].flatMap(({ kind, notes: own }) =>
    kind === "insert-cannula" ? own : [],
  );
  return new Set(wherePointed(notes).sides);
}

/** A side at the injection that the cannula is not on. */
function otherSide({ kind }: Step, note: string, sides: ReadonlySet<string>): string | undefined {
  if (kind !== "inject" || sides.size === 0 || KEEPS_AWAY.test(note)) return undefined;
  const other = wherePointed([note]).sides.find((side) => !sides.has(side));
  return other === undefined ? undefined : `the ${other} side, and the cannula is on the other`;
}

function tell({ origin, kind }: Step, note: string, words: string): Detected {
  const does = kind === "inject" ? "injection" : "cannula of the block";
  return {
    origin,
    what: `The note "${note}" leads the ${does} elsewhere: ${words}.`,
    label: "another limb or line",
    next: "Name the cannula of the blocked limb, or leave the note out. A line in the other limb is `iv-access other-limb` in `prepare`.",
  };
}
