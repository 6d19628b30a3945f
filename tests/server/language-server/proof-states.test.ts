import { expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { serverForAll } from "./client.ts";

const startClient = serverForAll();

const SHARED = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const WRIST = textOf("protocols/wrist-reduction.limb") ?? "";
const ANKLE = textOf("protocols/ankle-reduction.limb") ?? "";

/** Without the acceptance of what the ankle's protocol does not keep. */
const UNACCEPTED = (SHARED["local-rules.limb"] ?? "").replace(/ {2}accept dose-without-cap[^}]*/, "");

test.each([
  ["all rules hold", WRIST, {}, "none"],
  ["1 accepted", ANKLE, {}, "none"],
  ["1 advice", ANKLE, { "local-rules.limb": UNACCEPTED }, "none"],
  ["1 doubtful", WRIST.replace("    confirm no pulse\n", ""), {}, "warning"],
  ["1 unsafe", WRIST.replace("amount 3 mg/kg up to 200 mg", "amount 40 mL"), {}, "error"],
  ["1 unsafe, 1 not decided", textOf("flawed/let-down-early.limb") ?? "", {}, "error"],
  ["6 errors", textOf("flawed/misspelt.limb") ?? "", {}, "error"],
] as const)(
  "the state of a protocol with %s is as much of an alarm as that",
  async (words, text, more, alarm) => {
    const client = await startClient({ ...SHARED, ...more });
    await client.open("drafts/one.limb", text);
    await client.settled();
    const [state] = client.states.at(-1)?.protocols ?? [];
    expect(state?.words).toMatch(words === "all rules hold" ? /^all \d+ rules hold$/ : words);
    expect(state?.alarm).toBe(alarm);
  },
);
