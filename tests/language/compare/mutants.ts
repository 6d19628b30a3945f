import type { ChangeKind } from "@limbwright/language";

/** A protocol's text with one number or the order of two steps changed. */
export interface Mutant {
  readonly says: string;
  readonly text: string;
  /** The kinds one of which some change has to be of. */
  readonly expected: readonly ChangeKind[];
}

/** Every mutant of a text: each number raised and lowered, each two neighbouring steps swapped. */
export function mutantsOf(text: string): Mutant[] {
  return [...numberMutants(text), ...orderMutants(text)];
}

/** What raising a number does, by the statement it stands in; lowering does the opposite. */
type Direction = "looser" | "tighter" | "different" | "either";

const NUMBER = /(?<![\w.-])\d+(?:\.\d+)?(?![\w.-])/g;

function numberMutants(text: string): Mutant[] {
  const lines = text.split("\n");
  let block = "";
  return lines.flatMap((line, at): Mutant[] => {
    const [code = ""] = withoutTexts(line).split("//");
    block = blockAfter(block, code);
    if (/^\s*(version|review by|status|use)\b/.test(code)) return [];
    return [...code.matchAll(NUMBER)].flatMap((match, index) =>
      [1, -1].map((step): Mutant => {
        const value = Number(match[0]);
        const changed = value + step * stepFor(value);
        const written = Number.isInteger(changed) ? `${changed}` : changed.toFixed(2).replace(/0+$/, "");
        const mutated = `${line.slice(0, match.index)}${written}${line.slice(match.index + match[0].length)}`;
        return {
          says: `line ${at + 1}: ${mutated.trim()} (was ${match[0]})`,
          text: [...lines.slice(0, at), mutated, ...lines.slice(at + 1)].join("\n"),
          expected: kindsOf(directionOf(code, block, index), step > 0),
        };
      }),
    );
  });
}

function stepFor(value: number): number {
  if (value >= 20) return 2;
  return Number.isInteger(value) ? 1 : 0.25;
}

/** Numbers in quotes are words. */
function withoutTexts(line: string): string {
  return line.replace(/"[^"]*"/g, (quoted) => "\u2026".repeat(quoted.length));
}

function blockAfter(block: string, code: string): string {
  const opened = /^\s*(patients|cuffs|dose|timer|prepare|steps|throughout|emergency|require)\b.*\{/.exec(
    code,
  );
  if (opened?.[1] === "dose" && /lipid|methyl/.test(code)) return "rescue";
  const isAfterRescue = block === "rescue" && /^\s*\}/.test(code);
  return opened?.[1] ?? (isAfterRescue ? "emergency" : block);
}

/** What a statement asks for: the first that fits its block and words. */
const DIRECTIONS: readonly (readonly [block: RegExp, words: RegExp, first: Direction, second: Direction])[] =
  [
    [/^patients$/, /./, "tighter", "looser"],
    [/^cuffs$/, /ceiling/, "looser", "looser"],
    [/^cuffs$/, /fits/, "tighter", "looser"],
    [/^(cuffs|rescue)$/, /./, "different", "different"],
    [/^timer$/, /at least/, "tighter", "tighter"],
    [/^timer$/, /./, "looser", "looser"],
    [/^prepare$/, /staff/, "tighter", "tighter"],
    [/^prepare$/, /./, "looser", "looser"],
  ];

function directionOf(code: string, block: string, index: number): Direction {
  const known = DIRECTIONS.find(([inBlock, words]) => inBlock.test(block) && words.test(code));
  return known?.[index === 0 ? 2 : 3] ?? "either";
}

function kindsOf(direction: Direction, isRaised: boolean): ChangeKind[] {
  switch (direction) {
    case "different":
      // A bound that no patient comes to is the same for all of them.
      return ["different", "wording"];
    case "either":
      return ["looser", "tighter", "different", "wording"];
    default:
      return [(direction === "looser") === isRaised ? "looser" : "tighter"];
  }
}

const STEP =
  /^\s*(apply|insert|remove|exsanguinate|inflate|deflate|confirm|inject|give|wait|watch|recovery|task|do)\b[^{]*$/;

function orderMutants(text: string): Mutant[] {
  const lines = text.split("\n");
  return lines.flatMap((line, at): Mutant[] => {
    const next = lines[at + 1] ?? "";
    if (!STEP.test(line) || !STEP.test(next) || line.trim() === next.trim()) return [];
    return [
      {
        says: `line ${at + 1}: ${next.trim()} before ${line.trim()}`,
        text: [...lines.slice(0, at), next, line, ...lines.slice(at + 2)].join("\n"),
        expected: ["different"],
      },
    ];
  });
}
