import {
  type Change,
  type ChangeEvidence,
  compareSites,
  type ProtocolComparison,
  Site,
} from "@limbwright/language";
import { expect, test } from "vitest";
import { isUndecided } from "../../../language/compare/comparison.ts";
import { shuffled } from "../../fuzz/choices.ts";
import { randomProtocol, untidyProtocol } from "../../fuzz/random-protocol.ts";
import { again, seeds } from "../../questions.ts";
import { randomFrom } from "../../solver/random.ts";
import { mutantsOf } from "./mutants.ts";
import { lines, ON } from "./two-versions.ts";

const FILE = "protocol.limb";
const written = { before: "", now: "" };
const SITES = { before: new Site(() => written.before), now: new Site(() => written.now) };

/** The comparison of two texts that need no other file. */
function compared(before: string, now: string): ProtocolComparison {
  Object.assign(written, { before, now });
  for (const site of Object.values(SITES)) site.forget(FILE);
  const side = (name: "before" | "now") => ({ site: SITES[name], files: [FILE], name });
  const [first] = [...compareSites(side("before"), side("now"), { on: ON })];
  if (!first) throw new Error("no protocol was found");
  return first.comparison;
}

const SEEDS = seeds(80);

test(`a protocol compared with itself has no change (${SEEDS.length} protocols)`, () => {
  expect(SEEDS.flatMap((seed) => lines(compared(randomProtocol(seed), randomProtocol(seed))))).toEqual([]);
});

test(`another layout and comments are no change (${SEEDS.length} protocols)`, () => {
  const found = SEEDS.flatMap((seed) => lines(compared(randomProtocol(seed), untidyProtocol(seed))));
  expect(found.filter((one) => !one.startsWith("wording"))).toEqual([]);
});

test(`local names that change are at most wording (${SEEDS.length} protocols)`, () => {
  const found = SEEDS.flatMap((seed) => {
    const text = randomProtocol(seed);
    return lines(compared(text, renamed(text))).map((one) => `${again(seed)}: ${one}`);
  });
  expect(found.filter((one) => !one.includes(": wording"))).toEqual([]);
});

test(`the order of declarations is no change (${SEEDS.length} protocols)`, () => {
  const found = SEEDS.flatMap((seed) => {
    const text = randomProtocol(seed);
    return lines(compared(text, reordered(text, seed))).map((one) => `${again(seed)}: ${one}`);
  });
  expect(found.filter((one) => !one.includes(": wording"))).toEqual([]);
});

test(`what is looser one way is tighter the other way (${SEEDS.length} mutants)`, () => {
  const found = SEEDS.flatMap((seed) => {
    const [text, mutant] = mutantFor(seed);
    const [forth, back] = [compared(text, mutant.text), compared(mutant.text, text)];
    const gained = sidesIn(forth, "looser");
    const lost = sidesIn(back, "tighter");
    return gained === lost && sidesIn(forth, "tighter") === sidesIn(back, "looser")
      ? []
      : [`${again(seed)}, ${mutant.says}: ${lines(forth).join(" | ")} ## ${lines(back).join(" | ")}`];
  });
  expect(found).toEqual([]);
});

const OF_MUTANTS = seeds(200);

test(`a mutant never passes as unchanged (${OF_MUTANTS.length} mutants)`, () => {
  let told = 0;
  const found = OF_MUTANTS.flatMap((seed) => {
    const [text, mutant] = mutantFor(seed);
    const comparison = compared(text, mutant.text);
    if (comparison.outcome !== "nothing") told += 1;
    return comparison.outcome === "nothing" && !isUndecided(comparison)
      ? [`${again(seed)}, ${mutant.says}`]
      : [];
  });
  expect(found).toEqual([]);
  // Where a protocol has too many runs, a change of a time may be left undecided, which is said; most changes are told.
  expect(told).toBeGreaterThanOrEqual(OF_MUTANTS.length / 10);
});

test(`every change that is looser shows somebody or something that is let in (${SEEDS.length} mutants)`, () => {
  const found = SEEDS.flatMap((seed) => {
    const [text, mutant] = mutantFor(seed);
    const { changes } = compared(text, mutant.text);
    const bare = changes.filter(({ kind, evidence }) => kind === "looser" && !evidence.some(isLooser));
    return bare.map(({ what }) => `${again(seed)}, ${mutant.says}: ${what}`);
  });
  expect(found).toEqual([]);
});

/** Of what stands in the protocol itself: it may use no other drug, routine or local rule of the file, and no scenario. */
function mutantFor(seed: number) {
  const text = randomProtocol(seed);
  const lines = text.split("\n");
  const first = lines.findIndex((line) => line.startsWith("protocol "));
  const last = lines.findIndex((line, at) => at > first && line === "}");
  // A routine that nobody does says nothing of the protocol.
  const routine = lines.findIndex((line, at) => at > first && line.startsWith("  routine "));
  const isUnused = routine >= 0 && !text.includes(`do ${lines[routine]?.split(" ").at(3)}`);
  const routineEnd = lines.findIndex((line, at) => at > routine && line === "  }");
  const own = mutantsOf(text).filter(({ says }) => {
    const line = Number(/^line (\d+)/.exec(says)?.[1]) - 1;
    return line > first && line < last && !(isUnused && line > routine && line < routineEnd);
  });
  return [text, randomFrom(seed).pick(own)] as const;
}

/** The sections of the protocol in another order. */
function reordered(text: string, seed: number): string {
  const lines = text.split("\n");
  const first = lines.findIndex((line) => line.startsWith("protocol "));
  const last = lines.findIndex((line, at) => at > first && line === "}");
  const sections: string[][] = [];
  for (const line of lines.slice(first + 1, last)) {
    if (/^ {2}\S/.test(line) && line.trim() !== "}") sections.push([line]);
    else sections.at(-1)?.push(line);
  }
  const mixed = shuffled(randomFrom(seed), sections).flat();
  return [...lines.slice(0, first + 1), ...mixed, ...lines.slice(last)].join("\n");
}

/** The names of the generated protocols under others; texts in quotes stay. */
function renamed(text: string): string {
  const names = [
    "proximal",
    "distal",
    "local",
    "top-up",
    "hold",
    "clock",
    "procedure",
    "closing",
    "toxicity",
    "collapse",
  ];
  return text
    .split(/("(?:\\.|[^"\\])*"|\/\/.*)/)
    .map((part, at) =>
      at % 2 === 1
        ? part
        : names.reduce(
            (words, name) => words.replace(new RegExp(`(?<![\\w-])${name}(?![\\w-])`, "g"), `new-${name}`),
            part,
          ),
    )
    .join("");
}

/** What is looser, or tighter, by part: each with how often. */
function sidesIn({ changes }: ProtocolComparison, side: "looser" | "tighter"): string {
  const isSide = side === "looser" ? isLooser : isTighter;
  const found = changes.flatMap(({ part, evidence }: Change) => evidence.filter(isSide).map(() => part));
  return [...new Set(found)].sort().join(", ");
}

function isLooser(one: ChangeEvidence): boolean {
  return one.kind === "run" ? one.side === "gained" : one.side === "looser";
}

function isTighter(one: ChangeEvidence): boolean {
  return one.kind === "run" ? one.side === "lost" : one.side === "tighter";
}
