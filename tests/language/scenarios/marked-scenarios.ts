import { type FileScenarios, type ScenarioResult, Site, scenarioResults } from "@limbwright/language";
import { marksOf } from "../../marked-text.ts";
import { baseTexts, ON } from "../rule-file/compiled.ts";

const FILE = "scenarios.limb";
const HEAD = 'use "protocol.limb"\n';

/** Making a parser takes longer than a test; one reads all texts. */
const TEXTS = new Map<string, string>();
const SITE = new Site((file) => TEXTS.get(file));

/** The results of scenarios for the base protocol; other files are laid over those of the base example. */
export function resultsOf(
  text: string,
  others: Readonly<Record<string, string>> = {},
): readonly ScenarioResult[] {
  return toldOf(text, others).results;
}

/** The same, with what they touch. */
export function toldOf(text: string, others: Readonly<Record<string, string>> = {}): FileScenarios {
  for (const [file, content] of [
    ...baseTexts(),
    ...Object.entries(others),
    [FILE, `${HEAD}${text}`],
  ] as const) {
    if (TEXTS.get(file) === content) continue;
    TEXTS.set(file, content);
    SITE.noteChange(file);
  }
  const told = scenarioResults(SITE, FILE, { on: ON });
  if (!told) throw new Error("the scenarios were not read");
  return told;
}

/**
 * Where the marks of scenarios and what they come to disagree. A mark says the outcome of the scenario whose heading it stands
 * under, or of the line, and words that are said there:
 *
 *       expect pressure is 255 mmHg
 *   //  ^^^^^^^^^^^^^^^^^^^^^^^^^^^ failed: the pressure is 250 mmHg
 *
 * Every heading, and every line that has an outcome, has to be marked.
 */
export function disagreements(text: string, others: Readonly<Record<string, string>> = {}): string[] {
  const told = resultsOf(text, others).flatMap(outcomesOf);
  const marks = marksOf(`${HEAD}${text}`).map(({ rule: outcome, words, ...place }) => ({
    place: `${place.line}:${place.column}-${place.endColumn}`,
    outcome,
    words,
  }));
  const toldLines = told.map(lineOf);
  const marked = marks.map(lineOf);
  const unsaid = marks.filter(
    ({ place, words }) => !told.some((one) => one.place === place && has(one, words)),
  );
  return [
    ...toldLines.filter((line) => !marked.includes(line)).map((line) => `told, not marked: ${line}`),
    ...marked.filter((line) => !toldLines.includes(line)).map((line) => `marked, not told: ${line}`),
    ...unsaid.map(({ place, words }) => `not said: ${place} ${words}`),
  ];
}

interface Told {
  readonly place: string;
  readonly outcome: string;
  readonly words: readonly string[];
}

function outcomesOf({ origin, outcome, limit, lines }: ScenarioResult): Told[] {
  const heading = { place: placeOf(origin), outcome, words: limit === undefined ? [] : [limit] };
  const told = lines.flatMap((line): Told[] => {
    if (line.outcome === "done") return [];
    const found = line.outcome === "not-decided" ? line.limit : line.found;
    const words = [line.expected, line.when, found].filter((one) => one !== undefined);
    return [{ place: placeOf(line.origin), outcome: line.outcome, words }];
  });
  return [heading, ...told];
}

function placeOf({ start, end }: ScenarioResult["origin"]): string {
  return `${start.line}:${start.column}-${end.column}`;
}

function lineOf({ place, outcome }: { readonly place: string; readonly outcome: string }): string {
  return `${place} ${outcome}`;
}

function has({ words }: Told, wanted: string): boolean {
  return wanted === "" || words.some((one) => one.includes(wanted));
}

/** The base protocol with pairs of words replaced in its text. */
export function withChanges(
  ...changes: readonly (readonly [from: string, to: string])[]
): Readonly<Record<string, string>> {
  const text = changes.reduce((so, [from, to]) => {
    if (!so.includes(from)) throw new Error(`the base protocol does not say ${from}`);
    return so.replace(from, to);
  }, baseTexts().get("protocol.limb") ?? "");
  return { "protocol.limb": text };
}

/** The base protocol, asking whether the proximal cuff is firm and whether the block is good. */
export const ASKING = withChanges(
  [
    '      task "Reduce and splint" takes 5 min or more\n',
    `      ask "Does the block cover the wound?" {
        yes {
          task "Reduce and splint" takes 5 min or more
        }
        no {
          finish
        }
      }
`,
  ],
  [
    "    confirm proximal\n",
    `    confirm proximal else {
      task "Find the leak"
      inflate proximal
      confirm proximal
    }
`,
  ],
);
