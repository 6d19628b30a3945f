import { expect, test } from "vitest";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const tooHigh = replaced(FORMULARY, "maximum       4 mg/kg", "maximum       5 mg/kg");

const accepting = (name: string) =>
  replaced(
    replaced(cleanProtocol(name), "status    draft", "status    draft\n  local-rules ward"),
    'use "formulary.limb"',
    'use "formulary.limb"\nuse "local.limb"',
  );

test("what several protocols find in a shared file is one finding, of none in particular", async () => {
  const folder = folderWith({
    "formulary.limb": tooHigh,
    "ankle.limb": cleanProtocol("ankle"),
    "wrist.limb": cleanProtocol("wrist"),
  });
  const { out } = await runLimb(folder, ["check"]);
  expect(out).toContain("ankle (ankle.limb): 1 unsafe");
  expect(out).toContain("wrist (wrist.limb): 1 unsafe");
  expect(out.match(/^unsafe {2}agent-maximum-above-label/gm)).toHaveLength(1);
  expect(out).not.toContain("Found for");
});

test("what only one of them finds names it by its title", async () => {
  const folder = folderWith({ "formulary.limb": tooHigh, "ankle.limb": cleanProtocol("ankle") });
  const { out } = await runLimb(folder, ["check"]);
  expect(out.replace(/\s+/g, " ")).toContain("is 4 mg/kg. Found for “Wrist”.");
  expect(out).not.toContain("`ankle`");
});

test("what one hospital unit has accepted still counts for the other", async () => {
  const folder = folderWith({
    "formulary.limb": replaced(FORMULARY, "  maximum       300 mg\n", ""),
    "local.limb": `local-rules ward {
  accept agent-maximum-above-label in ankle because "Own audit" by "Pharmacy" until 2027-01-31
}
`,
    "ankle.limb": accepting("ankle"),
    "wrist.limb": cleanProtocol("wrist"),
  });
  const { code, out } = await runLimb(folder, ["check"]);
  expect(out).toContain("accepted (doubtful)  agent-maximum-above-label");
  expect(out).toMatch(/^doubtful {2}agent-maximum-above-label/m);
  expect(code).toBe(1);
});
