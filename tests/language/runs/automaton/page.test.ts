import { readFileSync } from "node:fs";
import { join } from "node:path";
import { automataOf, Site } from "@limbwright/language";
import { instance } from "@viz-js/viz";
import { expect, test } from "vitest";

const RUNS = join(import.meta.dirname, "../../../../language/runs");

const AGENT = "agent lidocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n  maximum 4 mg/kg\n}\n";

test("the page about the automaton shows the picture of its example", async () => {
  const page = readFileSync(join(RUNS, "automaton.md"), "utf8");
  const example = /^```limb\n([\s\S]*?)^```$/m.exec(page)?.[1] ?? "";
  const [result] = automataOf(new Site(() => `${example}${AGENT}`), "finger.limb") ?? [];
  if (result?.kind !== "built") throw new Error(`the example has no automaton: ${result?.because}`);
  const picture = (await instance()).renderString(result.dot, { format: "svg" });
  await expect(picture).toMatchFileSnapshot(join(RUNS, "automaton.svg"));
  expect(page).toContain("](automaton.svg)");
});
