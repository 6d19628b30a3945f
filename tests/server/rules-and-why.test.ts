import { catalogue, ruleList } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import { expect, test } from "vitest";
import { folderWith, runLimb } from "./run-limb.ts";

test("every rule is listed with its severity, by name", async () => {
  const { code, out } = await runLimb(folderWith({}), ["rules"]);
  for (const { id, severity } of ruleList) {
    expect(out).toMatch(new RegExp(`^  ${id} +${severity} `, "m"));
  }
  expect(out).toContain("early-release.minimum  30 min, at least 20 min");
  expect(out).toContain(`${ruleList.length} rules.`);
  expect(out.split("\n").filter((line) => line.length > 100)).toEqual([]);
  expect(code).toBe(0);
});

test("the list as JSON has parameters and standards", async () => {
  const { out } = await runLimb(folderWith({}), ["rules", "--json"]);
  const { rules, generalParameters } = JSON.parse(out);
  expect(rules).toHaveLength(ruleList.length);
  expect(rules).toContainEqual(expect.objectContaining({ id: "early-release", isAcceptable: false }));
  const { sources } = rules.find(({ id }: { id: string }) => id === "early-release");
  expect(sources).toContainEqual({
    source: "ann-clin-res-1979",
    title: "Ann Clin Res 1979, 25 patients, 40 mL of 0.5 %",
    address: "https://metajournal.com/articles/journal/6844/ann-clin-res/1979/8",
    seen: "abstract read",
    says: "no correlation of the peak with cuff times of 12 to 87 min",
    disagrees: true,
  });
  expect(generalParameters).toContainEqual(expect.objectContaining({ name: "action-time", standard: "60" }));
});

test("every rule is explained, as text no wider than the screen but for addresses and examples, and as JSON", async () => {
  const folder = folderWith({});
  for (const rule of catalogue) {
    const { id, title } = rule;
    const { code, out } = await runLimb(folder, ["why", id]);
    expect(out.startsWith(`${id}\n\n`)).toBe(true);
    expect(out.replace(/\s+/g, " ")).toContain(title.replaceAll("`", "`"));
    expect({ id, wide: tooWide(out, pageOf(rule)) }).toEqual({ id, wide: [] });
    expect(code).toBe(0);
  }
  const { out } = await runLimb(folder, ["why", "dose-over-maximum", "--json"]);
  expect(JSON.parse(out)).toMatchObject({
    id: "dose-over-maximum",
    page: expect.stringContaining("# dose-over-maximum\n"),
  });
});

/** Lines that do not fit, but for an address, which cannot be broken, and the lines of the page's examples. */
function tooWide(out: string, page: string): string[] {
  const examples = new Set(page.split("\n").map((line) => `    ${line}`));
  return out
    .split("\n")
    .filter((line) => line.length > 100 && !examples.has(line))
    .filter((line) => !/^[-\s]*\(?<?\S*https?:\S+$/.test(line));
}

test("a page loses nothing of its text but the marks of Markdown", async () => {
  const folder = folderWith({});
  const wordsOf = (text: string) => text.match(/[\p{L}\d.]+/gu) ?? [];
  for (const rule of catalogue) {
    const { id } = rule;
    const page = pageOf(rule);
    const shown = new Set(wordsOf((await runLimb(folder, ["why", id])).out));
    const lost = wordsOf(page.replace(/^```.*$/gm, "")).filter((word) => !shown.has(word));
    expect({ id, lost }).toEqual({ id, lost: [] });
  }
});
