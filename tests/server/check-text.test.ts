import { expect, test } from "vitest";
import {
  breakingItsOwnProtocol,
  cleanProtocol,
  FORMULARY,
  overdosingProtocol,
  replaced,
  swappedProtocol,
  toppedUpProtocol,
} from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

/** What a reader sees on the screen. Golden files keep it, to be read as a reader would. */
async function textOf(files: Readonly<Record<string, string>>, given: readonly string[]): Promise<string> {
  const { out, err } = await runLimb(folderWith(files), given);
  if (err !== "") throw new Error(err);
  return out;
}

const golden = (name: string) => `../golden/check/${name}.txt`;

test("a clean protocol says what holds, what is not decided, and what only people can judge", async () => {
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": cleanProtocol("wrist-reduction") };
  await expect(await textOf(files, ["check", "wrist-reduction.limb"])).toMatchFileSnapshot(golden("clean"));
});

test("a flawed draft shows each finding with its line, its patients and its repair", async () => {
  const flawed = [
    ["amount 3 mg/kg up to 200 mg", "amount 40 mL"],
    ["over   90 s to 3 min", "over   90 s to 3.0 min"],
    ["pressure greater of systolic + 100 mmHg and 250 mmHg", "pressure systolic + 60 mmHg"],
    ["    site-marked\n", ""],
  ].reduce((text, [part = "", by = ""]) => replaced(text, part, by), cleanProtocol("wrist-reduction"));
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": flawed };
  await expect(await textOf(files, ["check", "wrist-reduction.limb"])).toMatchFileSnapshot(golden("flawed"));
});

test.each([
  ["run-of-doses", toppedUpProtocol, "cumulative-dose-over-maximum", []],
  ["run-of-doses-verbose", toppedUpProtocol, "cumulative-dose-over-maximum", ["--verbose"]],
  ["run-of-cuffs", swappedProtocol, "no-cuff-up", []],
] as const)("a finding about a run shows one that leads there: %s", async (name, protocol, rule, options) => {
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": protocol("wrist-reduction") };
  const out = await textOf(files, ["check", "wrist-reduction.limb", ...options]);
  const finding = out.split("\n\n").find((block) => block.startsWith(`unsafe  ${rule}`));
  await expect(`${finding}\n`).toMatchFileSnapshot(golden(name));
});

test("a text with slips of the pen is still understood around them", async () => {
  const slips = [
    ["timer hold", "timr hold"],
    ["ceiling  300 mmHg", "ceiling  300"],
    ["dose local of lidocaine", "dose local of lidocane"],
    ["deflate distal", "deflate dystal"],
  ].reduce((text, [part = "", by = ""]) => replaced(text, part, by), cleanProtocol("wrist-reduction"));
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": slips };
  await expect(await textOf(files, ["check", "wrist-reduction.limb"])).toMatchFileSnapshot(golden("slips"));
});

test("an accepted finding is printed with who accepted it and why, and does not count", async () => {
  const local = `local-rules tarn-hollow {
  accept requirement-broken of "One cuff at a time" in wrist-reduction
    because "The old machine is in use until January" by "Anaesthesia lead" by "Clinical governance" until 2027-01-31
}
`;
  const protocol = replaced(
    replaced(
      breakingItsOwnProtocol("wrist-reduction"),
      "status    draft",
      "status    draft\n  local-rules tarn-hollow",
    ),
    'use "formulary.limb"',
    'use "formulary.limb"\nuse "local-rules.limb"',
  );
  const files = { "formulary.limb": FORMULARY, "local-rules.limb": local, "wrist-reduction.limb": protocol };
  await expect(await textOf(files, ["check"])).toMatchFileSnapshot(golden("accepted"));
});

test("a fault of the formulary is told once, for the protocols that meet it", async () => {
  const formulary = replaced(FORMULARY, "maximum       4 mg/kg", "maximum       5 mg/kg");
  const files = {
    "formulary.limb": formulary,
    "ankle.limb": cleanProtocol("ankle"),
    "wrist.limb": cleanProtocol("wrist"),
  };
  await expect(await textOf(files, ["check"])).toMatchFileSnapshot(golden("formulary"));
});

test("with --verbose every rule that is not decided and every text that is not judged is named", async () => {
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": cleanProtocol("wrist-reduction") };
  await expect(await textOf(files, ["check", "--verbose"])).toMatchFileSnapshot(golden("verbose"));
});

test("with --faults a table tells what one fault does to each rule", async () => {
  const files = { "formulary.limb": FORMULARY, "wrist-reduction.limb": cleanProtocol("wrist-reduction") };
  await expect(await textOf(files, ["check", "--faults"])).toMatchFileSnapshot(golden("faults"));
});

test("no line is longer than the screen, whatever it has to say", async () => {
  const name = "a-protocol-with-a-name-longer-than-anybody-would-care-to-write";
  const long = replaced(
    overdosingProtocol(name),
    "amount 40 mL",
    "amount lesser of 40 mL and greater of lesser of 60 mL and 50 mL and greater of lesser of 70 mL and 45 mL",
  );
  const out = await textOf({ "formulary.limb": FORMULARY, [`${name}.limb`]: long }, ["check", "--verbose"]);
  expect(out).toContain("dose-over-maximum");
  expect(out.split("\n").filter((line) => [...line].length > 100)).toEqual([]);
});

test("colour sets apart, and says nothing that the text does not", async () => {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": overdosingProtocol() });
  const coloured = await runLimb(folder, ["check"], { hasColour: true });
  const plain = await runLimb(folder, ["check"]);
  // biome-ignore lint/suspicious/noControlCharactersInRegex: the escape character starts a colour.
  const stripped = coloured.out.replace(/\u001b\[[\d;]*m/g, "");
  expect(coloured.out).toContain("\u001b[1;31munsafe\u001b[0m");
  expect(stripped.replaceAll(/\s+/g, " ")).toBe(plain.out.replaceAll("`", "").replaceAll(/\s+/g, " "));
});

test("nothing that is written in a protocol can act on the terminal", async () => {
  const title = "Wrist \u001b[2J\u001b]0;owned\u0007 \u202egnorw";
  const text = replaced(
    replaced(cleanProtocol(), '"Closed reduction, expected to take under 40 min"', `"${title}"`),
    "    site-marked\n",
    "    site-marked\n    \u001b[31m\n",
  );
  const { out } = await runLimb(folderWith({ "formulary.limb": FORMULARY, "wrist.limb": text }), [
    "check",
    "--verbose",
  ]);
  expect(out).toContain("error  text-not-understood");
  expect(out).toContain("Wrist \ufffd[2J");
  // biome-ignore lint/suspicious/noControlCharactersInRegex: these must not be there.
  expect(out).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
});
