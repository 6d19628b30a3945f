import type { Finding, Origin } from "@limbwright/shared/finding";

type Files = ReadonlyMap<string, string>;

/**
 * The files after somebody did literally what a finding says to do next; undefined where that is no change of the text that its words
 * alone tell. It knows nothing of the repair that an editor offers.
 */
export function followed({ next, origin }: Finding, files: Files): Files | undefined {
  for (const [form, follow] of FORMS) {
    const match = form.exec(next);
    const after = match && follow({ match, origin, text: files.get(origin.file) ?? "" });
    if (after !== undefined && after !== null) return new Map([...files, [origin.file, after]]);
  }
  return undefined;
}

interface Advised {
  readonly match: RegExpExecArray;
  readonly origin: Origin;
  readonly text: string;
}

type Follow = (advised: Advised) => string | undefined;

const CODE = "`([^`…]+)`";

/** What a sentence begins with, and how it is followed. The first that fits counts. */
const FORMS: readonly (readonly [RegExp, Follow])[] = [
  [new RegExp(`^Did you mean ${CODE}\\?`), ({ match, ...at }) => instead(at, match[1])],
  [/^Write (.+?) in `prepare`\./, ({ match, text }) => inBlock(text, "prepare", codesOf(match[1]))],
  [/^Add `prepare \{ … \}` with (.+?)\.$/, ({ match, text }) => withPrepare(text, codesOf(match[1]))],
  [
    new RegExp(`^Add ${CODE} to \`patients\``),
    ({ match, text }) => inBlock(text, "patients", codesOf(match[0]).slice(0, 1)),
  ],
  [
    new RegExp(
      `^Write ${CODE}(?: or \`[^\`]+\`)? (?:after the inflation and )?before (?:it|this step)(?!, on each way)`,
    ),
    ({ match, ...at }) => lineBefore(at, match[1]),
  ],
  [new RegExp(`^Write ${CODE}, or ${CODE}, before`), ({ match, ...at }) => lineBefore(at, match[1])],
  [
    /^Lower the amount, or end it with `up to` ([^.]+(?:\.\d+)? \S+)\.$/,
    ({ match, ...at }) => behind(at, ` up to ${match[1]}`),
  ],
  [/^Remove `(once|not before …)`/, ({ match, ...at }) => withoutWords(at, match[1])],
  [new RegExp(`^Write ${CODE}\\.`), ({ match, ...at }) => instead(at, match[1])],
];

function codesOf(words = ""): string[] {
  return [...words.matchAll(/`([^`]+)`/g)].map(([, code = ""]) => code.replaceAll("…", "as decided here"));
}

function instead({ origin, text }: Omit<Advised, "match">, words = ""): string {
  return text.slice(0, origin.start.offset) + words + text.slice(origin.end.offset);
}

function behind({ origin, text }: Omit<Advised, "match">, words: string): string {
  return text.slice(0, origin.end.offset) + words + text.slice(origin.end.offset);
}

function lineBefore({ origin, text }: Omit<Advised, "match">, line = ""): string {
  const begins = text.lastIndexOf("\n", origin.start.offset - 1) + 1;
  return `${text.slice(0, begins)}${line}\n${text.slice(begins)}`;
}

/** Words of the statement that the place stands in. */
function withoutWords({ origin, text }: Omit<Advised, "match">, words = ""): string | undefined {
  const begins = text.lastIndexOf("\n", origin.start.offset - 1) + 1;
  const form = words === "once" ? /\bonce\b/ : /\bnot before \d+ \w+/;
  const after = text.slice(begins).replace(form, "");
  return after === text.slice(begins) ? undefined : text.slice(0, begins) + after;
}

function inBlock(text: string, block: string, lines: readonly string[]): string | undefined {
  const begins = new RegExp(`^\\s*${block}\\s*\\{`, "m").exec(text);
  if (!begins || lines.length === 0) return undefined;
  const at = begins.index + begins[0].length;
  return `${text.slice(0, at)}\n${lines.join("\n")}${text.slice(at)}`;
}

function withPrepare(text: string, lines: readonly string[]): string | undefined {
  const steps = /^\s*steps\s*\{/m.exec(text);
  return (
    (steps &&
      `${text.slice(0, steps.index)}\nprepare {\n${lines.join("\n")}\n}\n${text.slice(steps.index)}`) ||
    undefined
  );
}
