import { type Origin, type RuleFile, valueAt } from "@limbwright/shared/rule-file";
import { describe, expect, test } from "vitest";
import { fileFrom } from "./compiled.ts";
import { compiledExamples, exampleTexts } from "./example-site.ts";

const texts = exampleTexts();

/** The text of a place: from its start up to its end. */
function textAt(file: RuleFile, { source, start, end }: Origin): string {
  const lines = (texts.get(file.sources[source]?.file ?? "") ?? "")
    .split("\n")
    .slice(start.line - 1, end.line);
  const last = lines.length - 1;
  lines[last] = lines[last]?.slice(0, end.column - 1) ?? "";
  lines[0] = lines[0]?.slice(start.column - 1) ?? "";
  return lines.join("\n");
}

type Fields = Readonly<Record<string, unknown>>;

/** Words of the language by the `kind` of an element, where they are not the kind itself. */
const WORDS: Readonly<Record<string, string>> = {
  event: "when",
  reaches: "reaches",
  capped: "up to",
  share: "of",
  difference: "-",
  sum: "+",
  bands: "by",
  approved: "approved",
  "confirm-no-pulse": "confirm no pulse",
  text: '"',
};

/** What the text of an element has to contain: its name, its keyword, or its number. */
function expectedWords(path: string, value: unknown): string[] {
  if (typeof value === "string") return [value];
  if (typeof value === "boolean") return [path.endsWith("plain") ? "plain" : "preservative-free"];
  if (Array.isArray(value)) return [path.endsWith("preparation") ? "prepare" : ""];
  const fields = value as Fields;
  const { kind, name, what, note, rule } = fields as Readonly<Record<string, string | undefined>>;
  if (/^\/protocol\/(agents|doses|timers|emergencies|events)\/\d+$/.test(path)) return [String(name)];
  if (/^\/protocol\/cuffs\/cuffs\/\d+$/.test(path)) return [String(name)];
  if (path === "/protocol/cuffs") return ["cuffs"];
  if (path === "/protocol/patients") return ["patients"];
  if (path.includes("/notJudged/")) return [/"(.*)"/s.exec(String(what))?.[1] ?? ""];
  // Findings and verdicts point at what they are about, in words of their own.
  if (note !== undefined || /^\/(findings|proof\/verdicts\/\d+$)/.test(path)) return [""];
  if (path.startsWith("/runs/automaton/edges/")) return [wordOfEdge(String(kind), String(fields.says))];
  if (path.startsWith("/runs/automaton/checks/")) return [""];
  if (path.includes("/assumptions/")) return [firstWord(String(what))];
  if (path.includes("/accepted/")) return ["accept", String(rule)];
  if (path.includes("/parameters/")) return ["set", String(name)];
  if (path.includes("/conditions/"))
    return [String(fields.decision), String(fields.condition ?? fields.text)];
  if (kind === "quantity") return numbersIn(fields.quantity);
  if (kind === "variable") return [String(fields.variable)];
  if (typeof kind === "string") return [WORDS[kind] ?? (kind.split("-")[0] as string)];
  if (typeof fields.title === "string") return [fields.title];
  return numbersIn(fields).concat(typeof fields.text === "string" ? [fields.text] : []);
}

/** What stands at the place of an edge: its step, the name of its emergency, or its `when`. */
function wordOfEdge(kind: string, says: string): string {
  if (kind === "finish") return says === "finish" ? "finish" : "";
  if (kind === "return") return "when";
  return says.startsWith("emergency ") ? says.slice("emergency ".length) : firstWord(says);
}

function firstWord(says: string): string {
  return says.split(" ")[0] ?? "";
}

/** The first number inside an element, or the texts in it where there is none. */
function numbersIn(value: unknown): string[] {
  const text = JSON.stringify(value);
  // Ages are kept up to the next birthday, and are written in completed years.
  const birthday = /^\{"ages":\{"unit":"a","upper":\{"closed":false,"value":"(\d+)"/.exec(text)?.[1];
  if (birthday !== undefined) return [String(Number(birthday) - 1)];
  const found = /"value":"([^"]+)"/.exec(text)?.[1];
  return found === undefined || found.includes("/") ? [] : [found];
}

describe.each(compiledExamples().map((one) => [one.protocol, fileFrom(one.text)] as const))(
  "in %s",
  (_, file) => {
    const entries = Object.entries(file.origins);

    test("every place in the source map holds the words of its element", () => {
      const wrong = entries.flatMap(([path, origin]) => {
        const text = textAt(file, origin).replaceAll(/\s+/g, " ");
        const missing = expectedWords(path, valueAt(file, path)).filter((words) => !isSaid(words, text));
        return text === "" || missing.length > 0 ? [{ path, text, missing }] : [];
      });
      expect(wrong).toEqual([]);
      expect(entries.length).toBeGreaterThan(80);
    });

    test("every step, dose, agent, timer, formula and verdict's text has its place", () => {
      const without = elementsOf(file.protocol, "/protocol").filter((path) => !(path in file.origins));
      expect(without).toEqual([]);
    });
  },
);

/** Durations are kept in seconds, and are written in minutes; approved by is not the kind alone. */
function isSaid(words: string, text: string): boolean {
  const plain = words.replaceAll(/\s+/g, " ");
  const minutes = String(Number(plain) / 60);
  return text.includes(plain) || (Number(plain) >= 60 && text.includes(minutes));
}

/** Steps, formulas and what has a name, wherever they are; those of requirements have the requirement's place. */
function elementsOf(value: unknown, path: string): string[] {
  if (typeof value !== "object" || value === null || path.includes("/requirements/")) return [];
  const inner = Object.entries(value).flatMap(([key, of]) => elementsOf(of, `${path}/${key}`));
  const { kind, name } = value as Fields;
  const isReference = /\/(cuff|on\/\d+)$/.test(path);
  return (kind !== undefined || name !== undefined) && !isReference ? [path, ...inner] : inner;
}
