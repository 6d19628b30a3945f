import {
  type ListedScenario,
  RUN_SCENARIO,
  RUN_SCENARIO_COMMAND,
  SCENARIOS,
  type ScenarioRan,
} from "@limbwright/shared/editor";
import { expect, test } from "vitest";
import type { CodeLens } from "vscode-languageserver-protocol";
import { filesIn, textOf } from "../../examples/site.ts";
import { serverForAll } from "./client.ts";
import { wordsIn } from "./cursor.ts";

const startClient = serverForAll();

const WRIST = "protocols/wrist-reduction.limb";
const HOSPITAL = Object.fromEntries([...filesIn("."), WRIST].map((file) => [file, textOf(file) ?? ""]));
const FILE = "scenarios/cases.limb";

const CASES = `use "../protocols/wrist-reduction.limb"

scenario "Surgery ends early" for wrist-reduction {
  patient weight 60 kg, systolic 130 mmHg, age 40 years
  run to end of local
  after 12 min task "Reduce and splint" ends
  expect deflate all for 10 s refused by early-release
}

scenario "Released at once" for wrist-reduction {
  run to end of local
  after 12 min task "Reduce and splint" ends
  expect deflate all for 10 s allowed
}

scenario "A child" for wrist-reduction {
  patient weight 20 kg
  expect dose local is 60 mg
}

scenario "A dose" for wrist-reduction {
  patient weight 60 kg
  expect dose local is 180 mg
}

scenario "Twice" for wrist-reduction {
  expect apply cuffs allowed
}

scenario "Twice" for wrist-reduction {
  expect apply cuffs allowed
}
`;

async function opened(text = CASES) {
  const client = await startClient(HOSPITAL);
  await client.open(FILE, text);
  const uri = client.uriOf(FILE);
  const ask = (scenario: string): Promise<ScenarioRan | null> =>
    client.connection.sendRequest(RUN_SCENARIO, { uri, scenario });
  return { client, uri, ask };
}

test("the scenarios of a text are listed with their places", async () => {
  const { client, uri } = await opened();
  const listed: ListedScenario[] = await client.connection.sendRequest(SCENARIOS, { uri });
  expect(listed.map(({ name, protocol, range }) => [name, protocol, wordsIn(CASES, range)])).toEqual(
    ["Surgery ends early", "Released at once", "A child", "A dose", "Twice", "Twice"].map((name) => [
      name,
      "wrist-reduction",
      `scenario "${name}" for wrist-reduction`,
    ]),
  );
  expect(await client.connection.sendRequest(SCENARIOS, { uri: client.uriOf("lost.limb") })).toBeNull();
});

test("a code lens stands at each scenario, beside those of protocols", async () => {
  const { client, uri } = await opened();
  const lenses = await client.request<CodeLens[]>("textDocument/codeLens", FILE);
  expect(lenses[0]).toEqual({
    range: { start: { line: 2, character: 0 }, end: { line: 2, character: 49 } },
    command: {
      title: "run this scenario",
      command: RUN_SCENARIO_COMMAND,
      arguments: [uri, "Surgery ends early"],
    },
  });
  expect(lenses.length).toBe(6);
});

test("one that passes says so, line by line, with the caution", async () => {
  const { ask } = await opened();
  expect(await ask("Surgery ends early")).toMatchObject({
    outcome: "passed",
    isStale: false,
    lines: [
      { outcome: "done" },
      { outcome: "done" },
      { outcome: "done" },
      { outcome: "passed", when: "12 min after the end of `local` (14:30)" },
    ],
    caution: expect.stringContaining("not a medical device"),
  });
});

test("one that fails says what was expected and found, and what happened until then, each step with its place", async () => {
  const { client, ask } = await opened();
  const ran = await ask("Released at once");
  const failed = ran?.lines.find(({ outcome }) => outcome === "failed");
  expect(ran?.outcome).toBe("failed");
  expect(failed?.expected).toBe("`deflate all for 10 s` allowed");
  expect(failed?.found).toContain("would break `early-release`");
  expect(failed && wordsIn(CASES, failed.range)).toBe("expect deflate all for 10 s allowed");
  const steps = ran?.steps.slice(0, failed?.told) ?? [];
  const end = steps.find(({ what }) => what === 'task "Reduce and splint" ends');
  expect(end).toMatchObject({ time: "14:30", place: { uri: client.uriOf(WRIST) } });
  expect(end?.place && wordsIn(textOf(WRIST) ?? "", end.place.range)).toMatch(/^task "Reduce and splint"/);
});

test.each([
  ["a patient whom the protocol does not cover", CASES, "A child", "the protocol is for 45 kg to 130 kg"],
  ["a title that two have", CASES, "Twice", "give each its own"],
  [
    "a text with errors",
    CASES.replace("end of local\n", "end of locl\n"),
    "Released at once",
    "There are errors in this file",
  ],
  [
    "a protocol that is not there",
    CASES.replace("for wrist-reduction", "for wrist"),
    "Surgery ends early",
    "errors",
  ],
])("%s is not decided", async (_, text, scenario, words) => {
  const { ask } = await opened(text);
  const ran = await ask(scenario);
  expect(ran?.outcome).toBe("not-decided");
  expect(ran?.limit).toContain(words);
});

test("a scenario that is not there is answered with null", async () => {
  const { ask } = await opened();
  expect(await ask("Nobody's")).toBeNull();
});

test("what stands in the editor is run, not what is on the disk, also while the check is at work", async () => {
  const { client, ask } = await opened();
  expect((await ask("A dose"))?.outcome).toBe("passed");
  await client.open(WRIST, (textOf(WRIST) ?? "").replace("amount 3 mg/kg", "amount 2 mg/kg"));
  const less = await ask("A dose");
  expect(less?.outcome).toBe("failed");
  expect(less?.lines.at(-1)?.found).toBe("`local` is 120 mg");
  await client.change(FILE, {
    text: CASES.replace("expect deflate all for 10 s allowed", "expect wait allowed"),
  });
  expect((await ask("Released at once"))?.outcome).toBe("not-decided");
  await client.settled();
  expect((await ask("Surgery ends early"))?.limit).toContain("There are errors in this file");
});

test("a change while it runs is told", async () => {
  const { client, ask } = await opened();
  const running = ask("Surgery ends early");
  await client.change(FILE, { text: `// a comment\n${CASES}` });
  const ran = await running;
  expect([ran?.outcome, ran?.isStale]).toEqual(["passed", true]);
});
