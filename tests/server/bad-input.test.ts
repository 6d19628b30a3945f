import { chmodSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { cleanProtocol, FORMULARY } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

describe("what cannot be read is named with the reason and the way out, and ends with 2", () => {
  test.each<[string, Record<string, string | Uint8Array>, string[], string]>([
    [
      "a folder without .limb files",
      { "protocols/notes.txt": "no protocol" },
      ["check", "protocols"],
      "limb: The folder protocols holds no .limb file, so there is nothing to do. Name a folder that holds protocols, or start one with `limb new NAME`.\n",
    ],
    [
      "a folder whose files declare no protocol",
      { "shared/formulary.limb": FORMULARY },
      ["check", "shared"],
      "limb: No file in the folder shared declares a protocol; only what protocols share was checked. Name a folder that holds protocols, or start one with `limb new NAME`.\n",
    ],
    [
      "a file in another encoding",
      { "a.limb": Buffer.from(`// caf\u00e9\n${cleanProtocol()}`, "latin1") },
      ["check", "a.limb"],
      "limb: a.limb cannot be read as text: line 1 holds bytes that are not UTF-8. Save it as UTF-8 in your editor, then try again.\n",
    ],
    [
      "a file in UTF-16",
      { "a.limb": Buffer.from("\ufeffprotocol wrist {}", "utf16le") },
      ["check", "a.limb"],
      "limb: a.limb cannot be read as text: line 1 holds bytes that are not UTF-8. It looks like UTF-16. Save it as UTF-8 in your editor, then try again.\n",
    ],
    [
      "a file of many megabytes",
      { "a.limb": " ".repeat(10_000_000) },
      ["check", "a.limb"],
      "limb: a.limb has 10\u202f000\u202f000 bytes; a protocol is a few pages, so this is something else. Name the file you meant. At most 1\u202f000\u202f000 characters are read from one file.\n",
    ],
    [
      "a path through a file",
      { "a.limb": cleanProtocol() },
      ["check", "a.limb/b.limb"],
      "limb: a.limb/b.limb does not exist: a part of its path is a file, not a folder. Check the spelling.\n",
    ],
    [
      "a workspace that is no folder",
      { "a.limb": cleanProtocol() },
      ["check", "a.limb", "--workspace", "b"],
      "limb: The workspace b is not a folder. Name the folder that holds your .limb files.\n",
    ],
    [
      "a baseline that is not there",
      { "a.limb": cleanProtocol() },
      ["check", "a.limb", "--since", "old.json"],
      "limb: old.json does not exist. Check the spelling, and the folder you are in.\n",
    ],
  ])("%s", async (_, files, given, message) => {
    const { code, err } = await runLimb(folderWith(files), given);
    expect(err).toBe(message);
    expect(code).toBe(2);
  });

  test("a file outside the workspace that was asked for", async () => {
    const folder = folderWith({ "a.limb": cleanProtocol(), "ward/": "" });
    const { code, err } = await runLimb(folder, ["check", "a.limb", "--workspace", "ward"]);
    expect(err).toContain("a.limb does not lie in the workspace ward.");
    expect(code).toBe(2);
  });

  test("a device, which might never end", async () => {
    const folder = folderWith({ "wrist.limb": cleanProtocol(), "formulary.limb": FORMULARY });
    symlinkSync("/dev/zero", join(folder, "endless.limb"));
    const { code, err, out } = await runLimb(folder, ["check", "--workspace", "/", "."]);
    expect(err).toContain("endless.limb is not a file but a device or a pipe.");
    expect(out).toContain("Checked 1 protocol in 2 files");
    expect(code).toBe(2);
  });

  test("a formulary in another encoding: its protocol is still read, and the formulary is named", async () => {
    const folder = folderWith({
      "wrist.limb": cleanProtocol(),
      "formulary.limb": Buffer.from([0x61, 0x0a, 0xe9]),
    });
    const { code, err, out } = await runLimb(folder, ["check", "wrist.limb"]);
    expect(err).toContain("formulary.limb cannot be read as text: line 2 holds bytes that are not UTF-8.");
    expect(out).toContain("error  use-not-found");
    expect(code).toBe(2);
  });

  test("a file that its owner has locked away, where the system keeps it from us", async () => {
    const folder = folderWith({ "wrist.limb": cleanProtocol(), "formulary.limb": FORMULARY });
    chmodSync(join(folder, "formulary.limb"), 0);
    const isRoot = process.getuid?.() === 0;
    const { code, err } = await runLimb(folder, ["check", "wrist.limb"]);
    expect(err).toBe(
      isRoot
        ? ""
        : "limb: formulary.limb may not be read by you. Ask its owner for the permission to read it.\n",
    );
    expect(code).toBe(isRoot ? 0 : 2);
  });
});

describe("wrong usage is told with the way to the help, and ends with 2", () => {
  test.each<[string, string[], string]>([
    ["a command that does not exist", ["chek"], "limb: unknown command 'chek'\n(Did you mean check?)\n"],
    [
      "an option that does not exist",
      ["check", "--jsn"],
      "limb: unknown option '--jsn'\n(Did you mean --json?)\n",
    ],
    [
      "a day that is not in the calendar",
      ["check", "--on", "2026-02-30"],
      "Write a day of the calendar as YYYY-MM-DD",
    ],
    [
      "a severity that does not exist",
      ["check", "--severity", "bad"],
      "Allowed choices are error, unsafe, doubtful, advice.",
    ],
    [
      "two forms at once",
      ["check", "--json", "--sarif"],
      "option '--json' cannot be used with option '--sarif'.",
    ],
    ["a rule that does not exist", ["why", "dose-over-maximun"], "Did you mean dose-over-maximum?"],
    ["a rule that is like none", ["why", "weather"], "`limb why` lists them all."],
    ["a missing file", ["compile"], "missing required argument 'files'"],
  ])("%s", async (_, given, words) => {
    const { code, out, err } = await runLimb(folderWith({}), given);
    expect(err).toContain(words);
    expect(out).toBe("");
    expect(code).toBe(2);
  });

  test("no command at all shows the help", async () => {
    const { code, err } = await runLimb(folderWith({}), []);
    expect(err).toContain("Usage: limb");
    expect(code).toBe(2);
  });
});

test("help and version are asked for, not wrong: they end with 0", async () => {
  const folder = folderWith({});
  expect(await runLimb(folder, ["--version"])).toMatchObject({
    code: 0,
    out: expect.stringMatching(/^\d+\.\d+\.\d+\n$/),
  });
  for (const name of ["check", "compile", "verify", "table", "format", "new", "rules", "why"]) {
    const { code, out } = await runLimb(folder, [name, "--help"]);
    expect(out).toContain(`limb ${name}`);
    expect(out).toMatch(/Examples?:\n {2}limb /);
    expect(code).toBe(0);
    expect(await runLimb(folder, ["help", name])).toEqual({ code, out, err: "" });
  }
});

test("declarations without a name are told, and break nothing", async () => {
  const folder = folderWith({
    "drugs.limb": "agent {\n  kind local-anaesthetic\n}\n",
    "a.limb": `use "drugs.limb"
protocol {
  version 1.0.0
  dose of lidocaine {
    amount 3 mg/kg
  }
  steps {
    inject lidocane
    stage {
      wait for hold
    }
  }
}
local-rules {
  set x 3
}
routine {
}
event
`,
  });
  const { code, out, err } = await runLimb(folder, ["check"]);
  expect(out).toContain("After `protocol` should come a name, but the line ends there.");
  expect(out).toContain("After `agent` should come a name, but the line ends there.");
  expect(out).toContain("A protocol without a name (a.limb): ");
  expect(out).not.toContain("undefined");
  expect(err).toBe("");
  expect(code).toBe(1);
});
