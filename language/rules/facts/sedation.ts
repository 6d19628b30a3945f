import {
  type Agent,
  allHandlers,
  type Handler,
  type Protocol,
  type WrittenText,
  writtenTexts,
} from "../../model/index.ts";
import { isOfToxicitySigns } from "../../runs/index.ts";
import { isSedatingName } from "./drug-words.ts";
import { codeOf, wordsOf } from "./drugs.ts";

/**
 * Where the ATC index lists drugs that make sleepy (from memory): general anaesthetics and opioids N01A and N02A, antipsychotics N05A,
 * anxiolytics N05B, hypnotics N05C, promethazine R06AD02, clonidine C02AC01.
 */
const SEDATING_CODES = /^(?:N01A|N02A|N05[ABC]|R06AD02|C02AC01)/;

/** Whether an agent makes sleepy, by a part of its name or by its code. */
export function isSedating(agent: Agent | undefined): boolean {
  if (!agent) return false;
  return wordsOf(agent.name).some(isSedatingName) || SEDATING_CODES.test(codeOf(agent) ?? "");
}

/** Of what is mixed in behind the cuff: opioids and clonidine, in what trials gave, left nobody asleep; these do. */
export function isSedatingMixture(agent: Agent | undefined): boolean {
  if (!agent || !isSedating(agent)) return false;
  const code = codeOf(agent) ?? "";
  return (
    /^(?:N01A[FX]|N05[ABC])/.test(code) || wordsOf(agent.name).some((word) => SLEEP_AFTER_RELEASE.has(word))
  );
}

const SLEEP_AFTER_RELEASE: ReadonlySet<string> = new Set(
  "ketamine esketamine midazolam diazepam lorazepam remimazolam propofol dexmedetomidine".split(" "),
);

/** Words for what is watched in a sedated patient, and for one who cannot be roused. */
const WATCHED =
  /\b(?:breath\w*|respirat\w*|ventilat\w*|airway|capno\w*|et ?co ?(?:2|₂)|conscious\w*|unconscious\w*|drows\w*|sleepy|asleep|rous(?:e|es|ed|able|ing)|responsive\w*|respon[ds]\w*|avpu|gcs|sedation (?:score|scale|level|depth)|depth of sedation|over-?sedat\w*)\b/i;

/**
 * Whether the protocol says what is watched in a sedated patient: as an answer to an event such as "drowsy", in a task or a note of its plan, or
 * among what is prepared. What treats toxicity does not count.
 */
export function watchesSedation(protocol: Protocol): boolean {
  return (
    allHandlers(protocol).some((handler) => answersDrowsiness(handler, protocol)) ||
    writtenTexts(protocol).some(saysWhatIsWatched)
  );
}

function answersDrowsiness(handler: Handler, { declaredEvents }: Protocol): boolean {
  if (handler.kind !== "event" || handler.steps.length === 0 || isOfToxicitySigns(handler)) return false;
  const title = declaredEvents.find(({ name }) => name === handler.event)?.title ?? "";
  return WATCHED.test(`${handler.event.replace(/-/g, " ")} ${title}`);
}

function saysWhatIsWatched({ text, kind, treatsToxicity }: WrittenText): boolean {
  return !treatsToxicity && kind !== "condition" && WATCHED.test(text) && !LEFT_OUT.test(text);
}

/** "Breathing is not watched", "no capnography". */
const LEFT_OUT = /\b(?:no|not|without|never|nobody)\b/i;
