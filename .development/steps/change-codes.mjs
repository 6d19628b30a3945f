import { readFileSync } from "node:fs";
import { join } from "node:path";
import { BANNER, fillFolder, root } from "./files.mjs";

const COMPARE = join(root, "language/compare");

/** Kinds of change, from the one that most needs to be looked at. */
const KINDS = ["no-longer-safe", "looser", "different", "tighter", "needs-a-reader", "wording"];

/** Writes what is made of the page of the kinds of change: each code with its measure, and each measure with its kinds. */
export function generateChangeCodes() {
  const { codes, measures } = codesOfPage(readFileSync(join(COMPARE, "codes.md"), "utf8"));
  const table = (name, rows) =>
    `export const ${name} = ${JSON.stringify(Object.fromEntries(rows), undefined, 2)} as const;\n`;
  fillFolder(join(COMPARE, "generated"), {
    "codes.ts": BANNER + table("CODES", codes) + table("MEASURES", measures),
  });
}

/** What the page says. Throws at a line that says nothing, or something that cannot be. */
function codesOfPage(page) {
  const [, codes, measures] = page.replaceAll("\r\n", "\n").split(/^## .*$/m);
  const known = new Map(sectionsOf(measures).map(([name, lines]) => [name, measureOf(name, lines)]));
  const rows = sectionsOf(codes).flatMap(([part, lines]) =>
    lines.filter((line) => !/^\| code |^\|---/.test(line)).map((line) => codeOf(part, line, known)),
  );
  const names = rows.map(([code]) => code);
  const twice = names.find((code, at) => names.indexOf(code) !== at);
  if (twice) throw new Error(`codes.md: the code ${twice} stands there twice.`);
  const idle = [...known.keys()].find((name) => !rows.some(([, { measure }]) => measure === name));
  if (idle) throw new Error(`codes.md: nothing is measured by ${idle}.`);
  return { codes: rows, measures: known };
}

function sectionsOf(text) {
  return text
    .split(/^### /m)
    .slice(1)
    .map((section) => {
      const [name, ...lines] = section.trim().split("\n");
      return [name, lines.filter((line) => line !== "")];
    });
}

function codeOf(part, line, measures) {
  const [, code, measure, about, rules] = line.match(/^\| `([a-z-]+)` \| (\S+) \| (.+) \| (.*?) ?\|$/) ?? [];
  if (!code) throw new Error(`codes.md, ${part}: "${line}" is no row of a code.`);
  if (!measures.has(measure))
    throw new Error(`codes.md: ${code} is measured by ${measure}, which is no measure.`);
  const near = [...rules.matchAll(/`([^`]+)`/g)].map(([, rule]) => rule);
  return [code, { part, measure, title: about.charAt(0).toUpperCase() + about.slice(1), near }];
}

function measureOf(name, [description, ...lines]) {
  const [, tighter] = description.match(/ where it is (higher|lower)\.$/) ?? [];
  const kinds = lines.map((line) => {
    const [, kind, raises, when] =
      line.match(/^- (\S+), (?:the (first|second|third)|no) number: (.+)$/) ?? [];
    if (!KINDS.includes(kind)) throw new Error(`codes.md, ${name}: "${line}" is no kind of change.`);
    return { kind, when, raises: raises ?? "none" };
  });
  const inOrder = KINDS.filter((kind) => kinds.some((one) => one.kind === kind));
  if (kinds.length === 0 || inOrder.join() !== kinds.map(({ kind }) => kind).join())
    throw new Error(
      `codes.md: the kinds of ${name} are not ${inOrder.join(", ")}, each once and in this order.`,
    );
  return { ...(tighter && { tighter }), kinds };
}
