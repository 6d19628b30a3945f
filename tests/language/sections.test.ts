import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Site, sheetPage, sheetsOf } from "@limbwright/language";
import { STATEMENTS } from "@limbwright/language/editor";
import { expect, test } from "vitest";
import { meaningText } from "../../language/compare/same.ts";
import { bundlesFrom } from "./fhir/bundles.ts";
import { baseTexts, ON } from "./rule-file/compiled.ts";

const GRAMMAR = readFileSync(join(import.meta.dirname, "../../language/grammar/limb.langium"), "utf8");

/** The first word of each section of a protocol, as the grammar has them. */
const WORDS = (/^Section:([^;]*);/m.exec(GRAMMAR)?.[1] ?? "")
  .split("|")
  .map((name) => new RegExp(`^${name.trim()}:[^']*'([a-z-]+)'`, "m").exec(GRAMMAR)?.[1]);

const TEMPLATES = (STATEMENTS.protocol ?? []).map(({ word, template }) => ({
  word: word.split(" ")[0],
  text: template.replace(/\$\{\d+:([^}]*)\}/g, "$1").replace(/\$0/g, ""),
}));

/** What is understood of a protocol with the template of every section but one. */
function meaningWithout(left: string | undefined): string {
  const sections = TEMPLATES.filter(({ word }) => word !== left).map(({ text }) => text);
  const text = `agent lidocaine {}\nprotocol wrist {\n${sections.join("\n")}\n}`;
  const [protocol] = new Site(() => text).file("text.limb")?.protocols ?? [];
  return meaningText(protocol);
}

const COMPLETE = meaningWithout(undefined);

test("the grammar has sections", () => {
  expect(WORDS.length).toBeGreaterThan(10);
});

test.each(WORDS)("the editor offers `%s`", (word) => {
  expect(TEMPLATES.map((one) => one.word)).toContain(word);
});

/** A routine means something only where `do` names it. */
test.each(WORDS.filter((word) => word !== "routine"))("the model says what `%s` says", (word) => {
  expect(meaningWithout(word)).not.toBe(COMPLETE);
});

const TEXTS = TEMPLATES.filter(({ text }) => /^[a-z-]+ "[^"]*"$/.test(text)).map(({ word }) => word);

test.each(TEXTS)("the sheet and the Bundle have the text of `%s`", (word) => {
  const said = `Said of the ${word}`;
  const base = (baseTexts().get("protocol.limb") ?? "").replace(new RegExp(`^ *${word} .*\n`, "m"), "");
  const texts = baseTexts({
    "protocol.limb": base.replace("  patients {", `  ${word} "${said}"\n  patients {`),
  });
  const [sheet] =
    sheetsOf(new Site((file) => texts.get(file)), "protocol.limb", { on: ON, draft: true }) ?? [];
  expect(sheet?.kind === "written" && sheetPage(sheet.sheet)).toContain(said);
  expect(bundlesFrom(texts, "protocol.limb", { draft: true })[0]?.text).toContain(said);
});
