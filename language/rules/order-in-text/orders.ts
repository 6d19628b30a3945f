import type { CuffSet } from "../../model/index.ts";

/** What a text has the team do that a step of the language should say. */
export type Order = "lets down" | "lowers" | "swaps" | "injects" | "leaves alone";

/** What a text orders: the first clause that does; undefined where none does. */
export type ReadText = (text: string) => Order | undefined;

/**
 * Reads texts for orders, with the words this protocol has for its cuffs. While toxicity or a leak is treated a clause with a condition
 * is a rule of conduct; in the plan it is an order all the same, since no condition in words is followed by the proof.
 */
export function orderReader(cuffs: CuffSet | undefined, isTreatment: boolean): ReadText {
  const orders = ordersFor(cuffWords(cuffs));
  const held = isTreatment ? HELD_IN_TREATMENT : HELD;
  return (text) => {
    const clauses = text.split(/[.;:!?](?=\s|$)|,|\bthen\b|\bbut\b|\band\b(?= (?:let|deflate|swap)\b)/i);
    for (const clause of clauses.map((one) => one.trim())) {
      const order = orders.find(({ says }) => says.test(clause))?.order;
      if (order !== undefined && (!held.test(clause) || NOBODY.test(clause))) return order;
    }
    return undefined;
  };
}

/** A cuff in the words of texts: by what it is, and by the names and labels it has in this protocol. */
function cuffWords(cuffs: CuffSet | undefined): string {
  const own = (cuffs?.cuffs ?? [])
    .flatMap(({ name, label }) => [name, label ?? ""])
    .filter((word) => word !== "");
  const which = [
    "proximal",
    "distal",
    "upper",
    "lower",
    "first",
    "second",
    "last",
    "pneumatic",
    ...own.map(escaped),
  ].join("|");
  return `(?:(?:the |both |all |a |any |this |that |other |your |patient's )*(?:(?:${which}) )*(?:cuffs?|tourniquets?)\\b|(?:the )?(?:${own.map(escaped).join("|") || "cuff"})(?: one)?(?= |$))`;
}

function escaped(word: string): string {
  return word.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
}

function ordersFor(cuff: string): readonly { readonly order: Order; readonly says: RegExp }[] {
  const any = (order: Order, ...says: readonly string[]) => ({
    order,
    says: new RegExp(says.join("|"), "i"),
  });
  return [
    any(
      "lowers",
      `\\b(?:lower|reduce|drop|decrease|halve|release|bleed|let off|take off|turn down|dial down|bring down|let down|ease)(?:e?s|ing)? (?:the |its |some |all |their )*(?:${cuff}(?:'s)? |inflation )?pressures?\\b(?! (?:on|over|at|from)\\b)`,
      `\\b(?:cuff|tourniquet)(?:'s)? pressures? (?:down|off|to zero)\\b`,
    ),
    any(
      "swaps",
      `\\b(?:swap|switch|exchange)(?:e?s|ing)? (?:over )?(?:between )?(?:the |both |two )*(?:cuffs|tourniquets)\\b`,
      `\\b(?:swap|switch|change)(?:e?s|ing)? (?:over )?to ${cuff}`,
    ),
    any(
      "lets down",
      `\\b(?:let|letting|bring|bringing|take|taking|put|drop|dropping|turn|turning|switch|switching)s? ${cuff} (?:down|off)\\b`,
      `\\b(?:let|letting|bring|bringing|take|taking|put|turn|turning|switch|switching)s? (?:down|off) ${cuff}`,
      `\\b(?:deflat|releas|remov|loosen|undo|open|empty|vent|disconnect|unclip|unclamp|unstrap|unwrap)(?:e|es|s|ing|ies)? ${cuff}`,
      `\\blet(?:s|ting)? go of ${cuff}`,
      `^${cuff} (?:down|off|out|deflated|deflation|release|released)\\b(?! time)`,
    ),
    any(
      "injects",
      "\\b(?:finish|continue|complete|go on with|resume|repeat)(?:e?s|ing)? (?:the |with the )?(?:injection|block)\\b",
      "\\b(?:inject|give|push)(?:e?s|ing)? (?:in )?(?:the rest|what is left|the remain\\w+|the other half|the second half|again\\b|another)",
      "\\btop(?:s|ping)? up (?:the )?(?:block|limb|arm|hand|leg|foot)\\b",
    ),
    any(
      "leaves alone",
      "\\b(?:switch|turn|tak|disconnect|remov|silenc)(?:e?s|e|ing)? (?:off |down )?(?:the |all |every )*(?:monitor\\w*|ecg|oximet\\w+|alarms?)\\b",
      "\\bleav(?:es?|ing) the (?:room|patient)(?! (?:with|on|in)\\b)",
      "\\b(?:nobody|no one) (?:has|needs) to (?:stay|watch|be there)|\\b(?:patient|left) (?:may be |is )?(?:left )?alone\\b",
      "\\b(?:sen[dt]s?|go(?:es)?|discharges?d?)\\b.*\\b(?:home|to (?:the |a )?ward)\\b",
      "\\b(?:mov|transfer|wheel|tak|walk|bring)(?:e?s|e|ing)?\\b.*\\b(?:back )?to (?:the |a )?ward\\b",
    ),
  ];
}

/** The denial is the order. */
const NOBODY = /\b(?:nobody|no one) (?:has|needs) to\b/i;

/** What is forbidden, decided by somebody, told about, or put off. */
const HELD =
  /\b(?:not|never|no|nobody|don't|neither|nor|without|until|till|unless|before|only|who|decid\w*|decision|stays?|remains?|keep\w*|avoid\w*|tell\w*|explain\w*|warn\w*|say\w*|ready|record\w*|chart\w*|note[ds]?|time of|plan\w*|discuss\w*)\b/i;

const HELD_IN_TREATMENT = new RegExp(`${HELD.source}|\\b(?:if|when|whether|may|ask\\w*|after)\\b`, "i");
