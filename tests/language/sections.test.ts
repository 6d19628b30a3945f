import { readFileSync } from "node:fs";
import { join } from "node:path";
import { compareSites, judgeFile, Site, sheetPage, sheetsOf } from "@limbwright/language";
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

/** The protocol that all tests of rule files begin with, with one text in the section of a word. */
function textsThatSay(word: string | undefined, said: string): Map<string, string> {
  const base = (baseTexts().get("protocol.limb") ?? "").replace(new RegExp(`^ *${word} .*\n`, "m"), "");
  return baseTexts({ "protocol.limb": base.replace("  patients {", `  ${word} "${said}"\n  patients {`) });
}

function siteOf(texts: ReadonlyMap<string, string>): Site {
  return new Site((file) => texts.get(file));
}

test.each(TEXTS)("the sheet and the Bundle have the text of `%s`", (word) => {
  const said = `Said of the ${word}`;
  const texts = textsThatSay(word, said);
  const [sheet] = sheetsOf(siteOf(texts), "protocol.limb", { on: ON, draft: true }) ?? [];
  expect(sheet?.kind === "written" && sheetPage(sheet.sheet)).toContain(said);
  expect(bundlesFrom(texts, "protocol.limb", { draft: true })[0]?.text).toContain(said);
});

test.each(TEXTS)("a comparison shows the text of `%s` as it was and as it is", (word) => {
  const [before, now] = ["Said before", "Said now"].map((said) => siteOf(textsThatSay(word, said)));
  if (!before || !now) throw new Error("there are two versions");
  const side = (site: Site) => ({ site, files: ["protocol.limb"], name: "text" });
  const [compared] = compareSites(side(before), side(now), { on: ON });
  const told = compared?.comparison.changes.map(({ what }) => what).join(" ");
  expect(told).toContain("Said before");
  expect(told).toContain("Said now");
});

/** The head of the document is not read as the protocol is: it says whose it is. */
const HEAD = new Set(["hospital", "owner"]);

test.each(TEXTS.filter((word) => !HEAD.has(word ?? "")))("the text of `%s` is told as not judged", (word) => {
  const { notJudged = [] } =
    judgeFile(siteOf(textsThatSay(word, "Said here")), "protocol.limb", { on: ON })?.protocols[0] ?? {};
  expect(notJudged.map(({ what }) => what)).toContain(`${word} "Said here"`);
});
