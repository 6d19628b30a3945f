import { eachPlaceOnce } from "@limbwright/shared/finding";
import { allSteps, type CuffPlace, type Protocol, type Step } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { type Limb, wherePointed } from "../facts/limb-words.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const once = eachPlaceOnce([...allSteps(protocol)].filter(isAtTheLine));
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

/** What is said before it denies it: "not the line in …", "away from …". Words in between belong to the line, so that "away from the fracture via …" does not. */
const DENIED =
  /\b(?:not|never|no|nor|or|without|avoid\w*|don['’]t|away from|clear of|off|instead of|rather than)\s+(?:(?:use|inject|push|give|connect|the|that|any|a|one|line|cannula|drip|vein|syringe|to|in|on|of|into|through|via|with|from|at|by|arm|hand|leg|foot|side)\s+)*$/i;

/** What is said after it keeps it as it is: "the drip of the other arm stays closed". */
const STAYS =
  /^\W*(?:(?:of|in|on|the|that|other|arm|hand|leg|foot|line|cannula|is|are|has|been|already)\s+)*(?:stays?|closed?|clamp\w*|runs|running|disconnect\w*|off|free|kept|flush\w*|ready)\b/i;

/** The clause names the blocked limb, too, and tells both apart. */
const BOTH =
  /\b(?:this|same|blocked|injured|operated) (?:arm|forearm|hand|wrist|finger|leg|foot|ankle|limb|side)\b/i;

/** A line for the rescue may be told of; it may not be what is injected through. */
const RESCUE = /\b(?:rescue|emergency|resuscitation|lipid)\b/i;
const TOLD_OF = /\b(?:in|is|has|for|stays|ready|there)\b/i;
const INJECTED_THROUGH = /\b(?:via|through|into|use|using|inject\w*|push\w*|connect\w*)\b/i;

/** Whether a clause names a place without leading there. */
function keepsAway(clause: string, at: number, length: number): boolean {
  const [before, after] = [clause.slice(0, at), clause.slice(at + length)];
  if (DENIED.test(before) || STAYS.test(after) || BOTH.test(clause)) return true;
  if (/\blipid\b/i.test(before)) return true;
  return RESCUE.test(clause) && TOLD_OF.test(`${before} ${after}`) && !INJECTED_THROUGH.test(before);
}

/** What keeps away in one clause may lead elsewhere in the next. */
function clausesOf(note: string): string[] {
  return note
    .split(/[.;:!?()—–]|,(?!\s*n?or\b)|\b(?:and|but|then)\b/i)
    .filter((clause) => clause.trim() !== "");
}

function inStep(step: Step, { cuffs }: Protocol, sides: ReadonlySet<string>): Detected[] {
  return step.notes.flatMap((note) => {
    const words = clausesOf(note)
      .map((clause) => elsewhereIn(clause, note, cuffs?.place?.value) ?? otherSide(step, clause, sides))
      .find((one) => one !== undefined);
    return words === undefined ? [] : [tell(step, note, words)];
  });
}

function elsewhereIn(clause: string, note: string, place: CuffPlace | undefined): string | undefined {
  const said = ELSEWHERE.exec(clause);
  if (said) return keepsAway(clause, said.index, said[0].length) ? undefined : said[0];
  if (place === undefined) return undefined;
  const [blocked, other] = LIMB_OF[place] === "arm" ? ["an arm", "leg"] : ["a leg", "arm"];
  const named = wherePointed([clause.replace(NO_LIMB, "")]).limbs;
  const ownToo = wherePointed([note.replace(NO_LIMB, "")]).limbs.includes(LIMB_OF[place]);
  const leads = named.some((limb) => limb === other) && !ownToo && !NEGATED.test(clause);
  return leads ? `${other === "arm" ? "an arm" : "a leg"}, where ${blocked} is blocked` : undefined;
}

/** A limb of the other kind is hardly named to be injected into, so any denial in the clause is enough. */
const NEGATED = /\b(?:not|never|no|nor|without|away|off)\b|\bdon['’]t\b/i;

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
function otherSide({ kind }: Step, clause: string, sides: ReadonlySet<string>): string | undefined {
  if (kind !== "inject" || sides.size === 0) return undefined;
  const other = wherePointed([clause]).sides.find((side) => !sides.has(side));
  if (other === undefined) return undefined;
  const at = clause.search(new RegExp(`\\b${other}`, "i"));
  return keepsAway(clause, Math.max(0, at), other.length)
    ? undefined
    : `the ${other} side, and the cannula is on the other`;
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
