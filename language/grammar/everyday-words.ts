/**
 * Words and signs of everyday writing that the language says otherwise, each with what to write instead. A
 * message that ends in one word to write ("Did you mean …?") is also offered as a repair.
 */
const INSIDE_A_LINE: ReadonlyMap<string, string> = new Map([
  ...each(["max", "maximally", "capped"], "Did you mean `up to`?"),
  ["but", "Write `up to` for the most that is given, as in `3 mg/kg up to 200 mg`."],
  ["per", "Write it into the unit: `3 mg/kg`, `15 mL/kg/h`."],
  ["-", "Write `to` between the ends of a range, as in `90 s to 3 min`."],
  ["then", "Start the next statement on a line of its own."],
  ...each(
    [",", ";"],
    "If another statement follows, start it on a line of its own; otherwise remove what follows.",
  ),
  ...each(["sbp", "sap", "sys"], "Did you mean `systolic`?"),
  ...each(["lop", "aop"], "Did you mean `occlusion-pressure`?"),
  ...each([">", "≥", ">="], "Write `over 45 kg`, or `45 kg and over` where 45 kg belongs to it."),
  ...each(["<", "≤", "<="], "Write `under 50 kg`, or `50 kg and under` where 50 kg belongs to it."),
  ...each(["x", "×", "*"], "Write a share instead, as in `200 % of systolic` or `half of 40 mL`."),
  ...each(["one", "two", "three", "four", "five", "six", "ten"], "Write the number in digits, such as `2`."),
  [
    "over",
    "The time of a dose stands in the dose, as `over 90 s to 3 min`; that of a step is `takes 2 min`.",
  ],
  ["cuff", "Leave out `cuff`: the name alone stands there, as in `deflate proximal`."],
]);

/** What is written after the first word of a statement, where everyday writing puts another word. */
const AFTER_A_WORD: ReadonlyMap<string, string> = new Map([
  ...each(
    ["wait until", "wait till", "wait to"],
    "Write `wait for` and the name of a timer, as in `wait for hold`, or a time, as in `wait 5 min`.",
  ),
  ...each(
    ["recovery for", "watch for", "press for"],
    "Leave out `for`: the time follows at once, as in `recovery 30 min`.",
  ),
  ["systolic up", "Write `under 180 mmHg`, or `180 mmHg and under` where 180 mmHg belongs to it."],
  ["weight up", "Write `under 130 kg`, or `130 kg and under` where 130 kg belongs to it."],
  ["age up", "Write `85 years and under`."],
  ["of inject", "Name the dose alone, as in `end of local`."],
  ["from injection", "Write `end of` or `start of` and the name of the dose, as in `end of local`."],
  ["from inflation", "Did you mean `first inflation`?"],
]);

/** First words of lines that the language says otherwise. */
const FIRST_OF_A_LINE: ReadonlyMap<string, string> = new Map([
  ...each(["release", "loosen", "let"], "Write `deflate` and the name of a cuff, or `deflate all`."),
  ...each(
    ["check", "feel", "verify"],
    "Write `confirm` and the name of a cuff, or a `task` with a text in quotes.",
  ),
  ...each(["elevate", "raise", "lift"], "Write `exsanguinate by elevation 2 min`."),
  ["wrap", "Write `exsanguinate by bandage`."],
  ...each(["put", "place"], "Write `apply cuffs` or `insert cannula`."),
  ["administer", "Write `inject` and the name of a dose; `give` for a dose that is not for the block."],
  ...each(
    ["call", "oxygen", "operate"],
    'Write `task` with a text in quotes; in an emergency `task help "…"` or `task oxygen "…"`.',
  ),
  [
    "if",
    'Write `when EVENT { … }` for something that happens, or `ask "…" { yes { … } no { … } }` for a question.',
  ],
  ["iv", "Did you mean `iv-access`?"],
  ["site", "Did you mean `site-marked`?"],
  ...each(["monitor", "monitors"], "Did you mean `monitoring`?"),
  ...each(["tourniquet", "tourniquets"], "Did you mean `cuffs`?"),
  ["drug", "Write `agent NAME { … }` for a drug, and `dose NAME of AGENT { … }` for what is given."],
  ["given", "Did you mean `over`?"],
  ...each(["minimum", "min"], "Did you mean `at least`?"),
  ["max", "Did you mean `at most`?"],
  ["at", "Write `at-hand` for what lies ready; `at least` and `at most` stand in a `timer`."],
]);

/** What to write for a word or sign inside a line; `previous` is what stands before it. */
export function insteadOf(word: string, previous: string): string | undefined {
  const plain = word.toLowerCase();
  if (previous.toLowerCase() === "the")
    return "Leave out `the`: the name alone stands there, as in `deflate proximal`.";
  if (previous.toLowerCase() === "x" || /^[\d.,]+x$/i.test(previous)) return INSIDE_A_LINE.get("x");
  return AFTER_A_WORD.get(`${previous.toLowerCase()} ${plain}`) ?? INSIDE_A_LINE.get(plain);
}

/** What to write for the first word of a line. */
export function insteadOfFirst(word: string): string | undefined {
  return FIRST_OF_A_LINE.get(word.toLowerCase());
}

function each(words: readonly string[], instead: string): [string, string][] {
  return words.map((word) => [word, instead]);
}
