import { readRuleFile } from "@limbwright/shared/rule-file";
import { contraindicationsOf, start } from "@limbwright/shared/runtime";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { exampleRuleFile, RehearsalPage } from "./rehearsal-page.ts";
import { type Answers, answersOn } from "./same-answers.ts";

/** The body of the fast and of the long test: the runtime in the page and in Node, on so many random cases of each protocol. */
export function sameAnswersSuite(protocols: readonly string[], count: number): void {
  const ruleFiles = new Map<string, string>();
  let rehearsal: RehearsalPage;
  beforeAll(async () => {
    for (const name of protocols) ruleFiles.set(name, exampleRuleFile(name));
    rehearsal = await RehearsalPage.open([...ruleFiles.values()]);
    await rehearsal.afresh();
  }, 480_000);
  afterAll(() => rehearsal.close(), 60_000);

  describe("the runtime in the page and in Node give the same answers", () => {
    test.each(protocols.map((name, at) => [name, at + 1] as const))(
      `on ${count} random cases of %s`,
      async (name, seed) => {
        const walks = { ruleFile: ruleFiles.get(name) ?? "", seed, count };
        const inNode = answersOn({ readRuleFile, contraindicationsOf, start }, walks);
        const call = `(${answersOn.toString()})(globalThis.limbwright, ${JSON.stringify(walks)})`;
        const inPage = (await rehearsal.page.evaluate(call)) as Answers;
        const different = inNode.answers.findIndex((answer, at) => answer !== inPage.answers[at]);
        expect(inPage.answers[different]).toBe(inNode.answers[different]);
        expect(inPage).toEqual(inNode);
        expect(inNode.started).toBeGreaterThan(count / 2);
        expect(inNode.accepted).toBeGreaterThan(count * 5);
        expect(inNode.refused).toBeGreaterThan(count);
      },
      300_000,
    );
  });
}
