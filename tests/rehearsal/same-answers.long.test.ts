import { readRuleFile } from "@limbwright/shared/rule-file";
import { againstFile, contraindicationsOf, start } from "@limbwright/shared/runtime";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { again, firstSeed, someOf } from "../questions.ts";
import { exampleRuleFile, RehearsalPage } from "./rehearsal-page.ts";
import { type Answers, answersOn } from "./same-answers.ts";

const CASES = 60;
const PROTOCOLS = someOf([
  ...["wrist-reduction", "hand-laceration", "finger-suture", "foot-surgery"],
  ...["ankle-reduction", "injured-arm", "prilocaine-wrist"],
]);

const ruleFiles = new Map<string, string>();
let rehearsal: RehearsalPage;
beforeAll(async () => {
  for (const name of PROTOCOLS) ruleFiles.set(name, exampleRuleFile(name));
  rehearsal = await RehearsalPage.open([...ruleFiles.values()]);
  await rehearsal.afresh();
}, 480_000);
afterAll(() => rehearsal.close(), 60_000);

describe("the runtime in the page and in Node give the same answers", () => {
  test.each(PROTOCOLS)(
    `on ${CASES} random cases of %s`,
    async (name) => {
      const seed = firstSeed();
      const walks = { ruleFile: ruleFiles.get(name) ?? "", seed, count: CASES };
      const inNode = answersOn({ readRuleFile, againstFile, contraindicationsOf, start }, walks);
      const call = `(${answersOn.toString()})(globalThis.limbwright, ${JSON.stringify(walks)})`;
      const inPage = (await rehearsal.page.evaluate(call)) as Answers;
      const different = inNode.answers.findIndex((answer, at) => answer !== inPage.answers[at]);
      expect(inPage.answers[different], again(seed)).toBe(inNode.answers[different]);
      expect(inPage).toEqual(inNode);
      expect(inNode.started).toBeGreaterThan(CASES / 2);
      expect(inNode.accepted).toBeGreaterThan(CASES * 5);
      expect(inNode.refused).toBeGreaterThan(CASES);
    },
    300_000,
  );
});
