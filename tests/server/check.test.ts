import { symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import {
  advisedProtocol,
  breakingItsOwnProtocol,
  cleanProtocol,
  doubtfulProtocol,
  FORMULARY,
  overdosingProtocol,
  replaced,
} from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

/** "rule file:line" of every finding in the text. */
function found(out: string): string[] {
  return [
    ...out.matchAll(/^(?:error|unsafe|doubtful|advice|accepted \(\w+\)) {2}(\S+)\s+(\S+:\d+):\d+$/gm),
  ].map(([, rule, place]) => `${rule} ${place}`);
}

const site = (protocol: string) => folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });

describe("the exit code of a check", () => {
  test("is 0 when there is nothing to find and nothing undecided", async () => {
    const folder = folderWith({ "formulary.limb": FORMULARY });
    expect(await runLimb(folder, ["check", "formulary.limb"])).toMatchObject({ code: 0, err: "" });
  });

  test("is 3 when nothing is found but rules are not decided", async () => {
    const clean = await runLimb(site(cleanProtocol()), ["check"]);
    expect({ found: found(clean.out), code: clean.code }).toEqual({ found: [], code: 0 });
    // No usual volume is published for a cuff at the ankle.
    const { code, out } = await runLimb(site(replaced(cleanProtocol(), "on upper-arm", "on ankle")), [
      "check",
    ]);
    expect(found(out)).toEqual([]);
    expect(out).toContain("Not decided, which is not a pass:");
    expect(code).toBe(3);
  });

  test("is 1 when something doubtful or worse is found", async () => {
    const doubtful = await runLimb(site(doubtfulProtocol()), ["check"]);
    expect(found(doubtful.out)).toEqual(["trailing-zero wrist.limb:32"]);
    expect(doubtful.code).toBe(1);
    const unsafe = await runLimb(site(overdosingProtocol()), ["check"]);
    expect(found(unsafe.out)).toEqual(["dose-over-maximum wrist.limb:31"]);
    expect(unsafe.code).toBe(1);
  });

  test("follows the severity that was chosen, and what is below it is still printed", async () => {
    const doubtful = await runLimb(site(doubtfulProtocol()), ["check", "--severity", "unsafe"]);
    expect(found(doubtful.out)).toEqual(["trailing-zero wrist.limb:32"]);
    expect(doubtful.code).toBe(0);
    const advised = await runLimb(site(advisedProtocol()), ["check"]);
    expect(found(advised.out)).toEqual(["dose-without-cap wrist.limb:31"]);
    expect(advised.code).toBe(0);
    expect((await runLimb(site(advisedProtocol()), ["check", "--severity", "advice"])).code).toBe(1);
  });

  test("is 2 when a file is missing, also when another one has findings, which are printed", async () => {
    const { code, out, err } = await runLimb(site(overdosingProtocol()), [
      "check",
      "lost.limb",
      "wrist.limb",
    ]);
    expect(err).toBe("limb: lost.limb does not exist. Check the spelling, and the folder you are in.\n");
    expect(found(out)).toEqual(["dose-over-maximum wrist.limb:31"]);
    expect(out).toContain("Not read: 1 file or folder");
    expect(code).toBe(2);
  });
});

describe("what is checked", () => {
  const group = () =>
    folderWith({
      "formulary.limb": FORMULARY,
      "b/two.limb": overdosingProtocol("two", "../formulary.limb"),
      "a/one.limb": overdosingProtocol("one", "../formulary.limb"),
      "c.limb": overdosingProtocol("three"),
      ".hidden/four.limb": overdosingProtocol("four", "../formulary.limb"),
      "node_modules/five.limb": overdosingProtocol("five", "../formulary.limb"),
      "notes.txt": "not a protocol",
    });

  test("is every .limb file of a folder by name, but for dot folders and node_modules", async () => {
    const { out } = await runLimb(group(), ["check", "."]);
    expect(found(out)).toEqual([
      "dose-over-maximum a/one.limb:31",
      "dose-over-maximum b/two.limb:31",
      "dose-over-maximum c.limb:31",
    ]);
  });

  test("is the current folder when nothing is named", async () => {
    const folder = group();
    expect(await runLimb(folder, ["check"])).toEqual(await runLimb(folder, ["check", "."]));
  });

  test("is checked once, in the order it was named", async () => {
    const { out } = await runLimb(group(), ["check", "c.limb", "b", "./c.limb", "."]);
    expect(found(out)).toEqual([
      "dose-over-maximum c.limb:31",
      "dose-over-maximum b/two.limb:31",
      "dose-over-maximum a/one.limb:31",
    ]);
  });

  test("is the same whatever folder it is checked from, with paths from the workspace", async () => {
    const folder = group();
    const here = await runLimb(folder, ["check", "a/one.limb"]);
    const below = await runLimb(join(folder, "b"), ["check", "../a/one.limb", "--workspace", ".."]);
    expect(below).toEqual(here);
  });

  test("is standard input for -, with the files of the current folder in reach", async () => {
    const folder = folderWith({ "formulary.limb": FORMULARY });
    const { code, out } = await runLimb(folder, ["check", "-"], { input: overdosingProtocol() });
    expect(found(out)).toEqual(["dose-over-maximum standard-input:31"]);
    expect(code).toBe(1);
  });

  test("reads line ends of Windows and a byte order mark like any other text", async () => {
    const unix = await runLimb(site(overdosingProtocol()), ["check"]);
    const windows = await runLimb(site(`\ufeff${overdosingProtocol().replaceAll("\n", "\r\n")}`), ["check"]);
    expect(windows).toEqual(unix);
  });

  test("follows a link inside the workspace once, and none that leads out of it", async () => {
    const outside = folderWith({ "secret.limb": overdosingProtocol("secret") });
    const folder = site(cleanProtocol());
    symlinkSync(join(folder, "wrist.limb"), join(folder, "again.limb"));
    symlinkSync(folder, join(folder, "round"));
    symlinkSync(join(outside, "secret.limb"), join(folder, "secret.limb"));
    symlinkSync(join(folder, "nothing.limb"), join(folder, "dangling.limb"));
    const { code, out, err } = await runLimb(folder, ["check"]);
    expect(out).toContain("Checked 1 protocol in 2 files");
    expect(err).toContain("limb: secret.limb is a link that leads out of the workspace");
    expect(err).toContain("limb: dangling.limb is a link that leads nowhere.");
    expect(code).toBe(2);
  });

  test("does not use a file through a link that leads out of the workspace", async () => {
    const outside = folderWith({ "formulary.limb": FORMULARY });
    const folder = folderWith({ "wrist.limb": cleanProtocol() });
    symlinkSync(join(outside, "formulary.limb"), join(folder, "formulary.limb"));
    const { code, out, err } = await runLimb(folder, ["check", "wrist.limb"]);
    expect(found(out)).toContain("use-not-found wrist.limb:1");
    expect(err).toContain("formulary.limb is a link that leads out of the workspace");
    expect(code).toBe(2);
  });

  test("takes the folder of a file that lies elsewhere as its workspace", async () => {
    const folder = site(overdosingProtocol());
    const { out, err } = await runLimb(folderWith({}), ["check", join(folder, "wrist.limb")]);
    expect(found(out)).toEqual(["dose-over-maximum wrist.limb:31"]);
    expect(err).toBe("");
  });

  test("judges dates as on the day that --on names", async () => {
    const folder = site(cleanProtocol());
    expect(found((await runLimb(folder, ["check", "--on", "2027-11-25"])).out)).toEqual([]);
    expect(found((await runLimb(folder, ["check", "--on", "2027-11-26"])).out)).toEqual([
      "review-overdue wrist.limb:10",
    ]);
  });
});

describe("a baseline", () => {
  const baselineOf = async (folder: string) => (await runLimb(folder, ["check", "--json"])).out;

  test("hides what it has, also where lines have moved, and tells how much", async () => {
    const baseline = await baselineOf(site(overdosingProtocol()));
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": `// moved\n// down\n${overdosingProtocol()}`,
      "baseline.json": baseline,
    });
    const { code, out } = await runLimb(folder, ["check", "--since", "baseline.json"]);
    expect(found(out)).toEqual([]);
    expect(out).toContain("Known: 1 finding of the baseline, not shown.");
    expect(code).toBe(0);
  });

  test("does not hide other words, another protocol, or a second finding of the same words", async () => {
    const baseline = await baselineOf(site(overdosingProtocol()));
    const heavier = replaced(overdosingProtocol(), "amount 40 mL", "amount 60 mL");
    const twice = replaced(doubtfulProtocol(), "at most  50 min", "at most  50.0 min");
    const other = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": heavier,
      "ankle.limb": overdosingProtocol("ankle"),
      "baseline.json": baseline,
    });
    const { out, code } = await runLimb(other, ["check", "--since", "baseline.json"]);
    expect(found(out)).toContain("dose-over-maximum ankle.limb:31");
    expect(found(out)).toContain("dose-over-maximum wrist.limb:31");
    expect(code).toBe(1);
    const again = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": twice,
      "baseline.json": await baselineOf(site(doubtfulProtocol())),
    });
    const second = await runLimb(again, ["check", "--since", "baseline.json"]);
    expect(found(second.out)).toEqual(["trailing-zero wrist.limb:37"]);
  });

  test("does not hide what was accepted then and counts again now", async () => {
    const local = `local-rules ward {
  accept requirement-broken of "One cuff at a time" because "The old machine is in use until January"
    by "Anaesthesia lead" by "Clinical governance" until 2026-12-31
}
`;
    const accepted = replaced(
      replaced(breakingItsOwnProtocol(), "status    draft", "status    draft\n  local-rules ward"),
      'use "formulary.limb"',
      'use "formulary.limb"\nuse "local.limb"',
    );
    const files = { "formulary.limb": FORMULARY, "local.limb": local, "wrist.limb": accepted };
    const then = await runLimb(folderWith(files), ["check", "--json"]);
    expect(then.code).toBe(0);
    const folder = folderWith({ ...files, "baseline.json": then.out });
    const now = await runLimb(folder, ["check", "--since", "baseline.json", "--on", "2027-01-01"]);
    expect(found(now.out)).toEqual(
      expect.arrayContaining([expect.stringMatching(/^requirement-broken wrist\.limb:\d+$/)]),
    );
    expect(now.code).toBe(1);
  });

  test.each([
    ["no JSON", "not json", "is not what `limb check --json` writes"],
    ["other JSON", "[1, 2]", "is not what `limb check --json` writes"],
    ["another format", '{"formatVersion": 99}', "has format 99; this version reads format 1"],
    ["a list of what was new", '{"formatVersion": 1, "onlyNew": true}', "was itself written with --since"],
    [
      "a damaged one",
      '{"formatVersion": 1, "onlyNew": false, "files": [{}]}',
      "is not what `limb check --json` writes",
    ],
  ])("is refused when it is %s", async (_, text, words) => {
    const folder = folderWith({ "wrist.limb": cleanProtocol(), "baseline.json": text });
    const { code, out, err } = await runLimb(folder, ["check", "--since", "baseline.json"]);
    expect(err).toContain(words);
    expect(out).toBe("");
    expect(code).toBe(2);
  });
});

describe("an acceptance for a protocol that does not exist", () => {
  const files = {
    "formulary.limb": FORMULARY,
    "protocols/wrist.limb": cleanProtocol("wrist", "../formulary.limb"),
    "local.limb": `local-rules ward {
  accept dose-without-cap in wrst because "The box is small" by "Pharmacy" until 2027-12-31
}
`,
  };

  test("is found when the whole workspace is checked", async () => {
    const { out, code } = await runLimb(folderWith(files), ["check"]);
    expect(found(out)).toEqual(["name-unknown local.limb:2"]);
    expect(out).toContain("No protocol of the workspace is called `wrst`");
    expect(code).toBe(1);
  });

  test("is not looked for when only a part is checked", async () => {
    const { out } = await runLimb(folderWith(files), ["check", "local.limb", "protocols"]);
    expect(found(out)).toEqual([]);
  });

  test("is not found where the protocol comes after the local rules", async () => {
    const inOne = `${files["local.limb"].replace("wrst", "zebra")}\n${cleanProtocol("aardvark")}`;
    const folder = folderWith({
      "a.limb": inOne,
      "formulary.limb": FORMULARY,
      "z.limb": cleanProtocol("zebra"),
    });
    const { out } = await runLimb(folder, ["check"]);
    expect(found(out)).toEqual([]);
    expect(out).toContain("Checked 2 protocols in 3 files");
  });
});

test("progress is shown on a terminal, only once the work is long, and is taken away", async () => {
  const files = Object.fromEntries(
    [1, 2, 3].map((number) => [`${number}.limb`, cleanProtocol(`wrist-${number}`)]),
  );
  const folder = folderWith({ ...files, "formulary.limb": FORMULARY });
  let time = 0;
  const clock = () => {
    time += 600;
    return time;
  };
  const slow = await runLimb(folder, ["check"], { isTerminal: true, clock });
  expect(slow.err).toContain("\r\u001b[KChecked 2 of 4 files");
  expect(slow.err.endsWith("\r\u001b[K")).toBe(true);
  expect((await runLimb(folder, ["check"], { isTerminal: true })).err).toBe("");
  expect((await runLimb(folder, ["check"], { clock })).err).toBe("");
});
