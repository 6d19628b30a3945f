import { chmodSync, existsSync, mkdirSync, readdirSync, readFileSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { cleanProtocol, FORMULARY, overdosingProtocol, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const site = (protocol = cleanProtocol()) =>
  folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });

test("a rule file is written beside its protocol, with its digest told", async () => {
  const folder = site();
  const { code, out, err } = await runLimb(folder, ["compile", "wrist.limb"]);
  const file = JSON.parse(readFileSync(join(folder, "wrist.json"), "utf8"));
  expect(out).toBe(`Wrote wrist.json: wrist, meaning ${file.digests.meaning}\n`);
  expect({ code, err }).toEqual({ code: 0, err: "" });
});

test("--out - prints the same bytes, and the message goes elsewhere", async () => {
  const folder = site();
  await runLimb(folder, ["compile", "wrist.limb"]);
  const { code, out, err } = await runLimb(folder, ["compile", "wrist.limb", "--out", "-"]);
  expect(out).toBe(readFileSync(join(folder, "wrist.json"), "utf8"));
  expect(err).toMatch(/^Wrote standard output: wrist, meaning sha256:/);
  expect(code).toBe(0);
});

test("the same bytes come from another folder, with line ends of Windows, on another day", async () => {
  const one = await runLimb(site(), ["compile", "wrist.limb", "--out", "-"]);
  const windows = cleanProtocol().replaceAll("\n", "\r\n");
  const other = await runLimb(site(windows), ["compile", "wrist.limb", "--out", "-", "--on", "2026-12-24"]);
  expect(other.out).toBe(one.out);
  expect(JSON.parse(one.out).digests.meaning).toMatch(/^sha256:/);
});

test("many are written into a folder, which is made", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "a.limb": cleanProtocol("one"),
    "b.limb": cleanProtocol("two"),
  });
  const { code } = await runLimb(folder, ["compile", ".", "--into", "compiled/2026"]);
  expect(readdirSync(join(folder, "compiled/2026")).sort()).toEqual(["one.json", "two.json"]);
  expect(code).toBe(0);
});

test("--json tells what became of each protocol", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "a.limb": cleanProtocol("one"),
    "b.limb": overdosingProtocol("two"),
  });
  const { code, out } = await runLimb(folder, ["compile", ".", "--json"]);
  expect(JSON.parse(out)).toEqual({
    protocols: [
      expect.objectContaining({ protocol: "one", written: "one.json", use: "protocol" }),
      expect.objectContaining({ protocol: "two", refused: expect.stringContaining("unsafe") }),
    ],
    unread: [],
  });
  expect(code).toBe(1);
});

describe("a protocol with an unsafe finding", () => {
  test("is refused with the finding shown, and what was there stays", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": overdosingProtocol(),
      "wrist.json": "the earlier one",
    });
    const { code, out, err } = await runLimb(folder, ["compile", "wrist.limb"]);
    expect(err).toContain("unsafe  dose-over-maximum");
    expect(err).toContain("Patients: 45 kg to under 50 kg");
    expect(readFileSync(join(folder, "wrist.json"), "utf8")).toBe("the earlier one");
    expect({ code, out }).toEqual({ code: 1, out: "" });
  });

  test("is written with --draft, marked as one", async () => {
    const folder = site(overdosingProtocol());
    const { code, out } = await runLimb(folder, ["compile", "wrist.limb", "--draft"]);
    expect(out).toContain("Wrote wrist.json: wrist, a draft, meaning");
    expect(JSON.parse(readFileSync(join(folder, "wrist.json"), "utf8")).use).toBe("draft");
    expect(code).toBe(0);
  });

  test("is refused also as a draft while there are errors", async () => {
    const folder = site(replaced(cleanProtocol(), "ceiling  300 mmHg", "ceiling  300"));
    const { code, err } = await runLimb(folder, ["compile", "wrist.limb", "--draft"]);
    expect(err).toContain("error  unit-missing");
    expect(existsSync(join(folder, "wrist.json"))).toBe(false);
    expect(code).toBe(1);
  });
});

describe("where it cannot be written", () => {
  const left = (folder: string) => readdirSync(folder, { recursive: true }).map(String).sort();

  test("a folder as the output is refused", async () => {
    const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": cleanProtocol(), "out/": "" });
    const before = left(folder);
    const { code, err } = await runLimb(folder, ["compile", "wrist.limb", "--out", "out"]);
    expect(err).toBe(
      "limb: out is a folder, so no file can be written in its place. Name a file, for example one in that folder.\n",
    );
    expect(left(folder)).toEqual(before);
    expect(code).toBe(2);
  });

  test("a read-only file is left as it is", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": cleanProtocol(),
      "wrist.json": "approved",
    });
    chmodSync(join(folder, "wrist.json"), 0o444);
    const { code, err } = await runLimb(folder, ["compile", "wrist.limb"]);
    expect(err).toBe(
      "limb: wrist.json is read-only, so it was left as it is. Allow writing to it, or name another file.\n",
    );
    expect(readFileSync(join(folder, "wrist.json"), "utf8")).toBe("approved");
    expect(code).toBe(2);
  });

  test("a folder that does not exist is named", async () => {
    const { code, err } = await runLimb(site(), ["compile", "wrist.limb", "--out", "lost/wrist.json"]);
    expect(err).toBe(
      "limb: lost/wrist.json could not be written: its folder does not exist. Make the folder first, or check the spelling.\n",
    );
    expect(code).toBe(2);
  });

  test("a folder that cannot be made is named", async () => {
    const folder = site();
    const { code, err } = await runLimb(folder, ["compile", "wrist.limb", "--into", "wrist.limb/out"]);
    expect(err).toContain("wrist.limb/out could not be written: a part of its path is a file, not a folder.");
    expect(code).toBe(2);
  });

  test("a file in the place of the folder is named as one", async () => {
    const { code, err } = await runLimb(site(), ["compile", "wrist.limb", "--into", "wrist.limb"]);
    expect(err).toContain("wrist.limb is a file, not a folder, so nothing can be written into it.");
    expect(code).toBe(2);
  });

  test("a link is written through, and stays a link", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": cleanProtocol(),
      "real/wrist.json": "",
    });
    symlinkSync(join(folder, "real/wrist.json"), join(folder, "wrist.json"));
    await runLimb(folder, ["compile", "wrist.limb"]);
    expect(readFileSync(join(folder, "real/wrist.json"), "utf8")).toContain("sha256:");
    expect(left(folder)).toEqual(["formulary.limb", "real", "real/wrist.json", "wrist.json", "wrist.limb"]);
  });
});

test("two protocols that would be written to one file are told, and the first stays", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "a.limb": cleanProtocol("wrist"),
    "b.limb": cleanProtocol("wrist"),
  });
  const same = await runLimb(folder, ["compile", "."]);
  expect(same.err).toContain("Two protocols are called wrist; only the first was written to wrist.json.");
  expect(same.code).toBe(2);
  const out = await runLimb(folder, ["compile", "a.limb", "b.limb", "--out", "one.json"]);
  expect(out.err).toContain("Two protocols are called wrist");
  expect(out.code).toBe(2);
});

test("a file without a protocol has nothing to compile", async () => {
  const folder = folderWith({ "formulary.limb": FORMULARY });
  mkdirSync(join(folder, "out"));
  const { code, err } = await runLimb(folder, ["compile", "formulary.limb"]);
  expect(err).toContain("formulary.limb declares no protocol.");
  expect(code).toBe(2);
});

test("progress is shown on a terminal once the work is long", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "a.limb": cleanProtocol("one"),
    "b.limb": cleanProtocol("two"),
  });
  let time = 0;
  const clock = () => {
    time += 600;
    return time;
  };
  const { err } = await runLimb(folder, ["compile", ".", "--into", "out"], { isTerminal: true, clock });
  expect(err).toContain("\r\u001b[KCompiled 2 of 3 files");
  expect(err.endsWith("\r\u001b[K")).toBe(true);
});

describe("--to fhir", () => {
  test("writes a Bundle beside the protocol, and tells what FHIR has no element for", async () => {
    const folder = site();
    const { code, out, err } = await runLimb(folder, ["compile", "wrist.limb", "--to", "fhir"]);
    const bundle = JSON.parse(readFileSync(join(folder, "wrist.fhir.json"), "utf8"));
    expect(bundle.resourceType).toBe("Bundle");
    expect(out).toBe(`Wrote wrist.fhir.json: wrist, meaning ${bundle.identifier.value}\n`);
    expect(err).toContain("wrist.fhir.json: FHIR has no element for these, so they are left out:\n");
    expect(err).toContain("  runs: the automaton of all runs that the protocol allows\n");
    expect(err).toMatch(/In words only, for people: \d+ more\. Its OperationOutcome lists them all\.\n/);
    expect(code).toBe(0);
  });

  test("carries the digests of the rule file, and lists the same in --json", async () => {
    const folder = site();
    await runLimb(folder, ["compile", "wrist.limb"]);
    const ruleFile = JSON.parse(readFileSync(join(folder, "wrist.json"), "utf8"));
    const { out, err } = await runLimb(folder, ["compile", "wrist.limb", "--to", "fhir", "--json"]);
    const [told] = JSON.parse(out).protocols;
    expect(told).toMatchObject({ written: "wrist.fhir.json", ...ruleFile.digests });
    const { entry } = JSON.parse(readFileSync(join(folder, "wrist.fhir.json"), "utf8"));
    const { issue } = entry.at(-1).resource;
    expect(told.notCoded).toHaveLength(issue.length);
    expect(told.notCoded[0]).toMatchObject({ kept: "left-out", part: "proof" });
    expect(err).toBe("");
  });

  test("is refused as a rule file is, and written with --draft", async () => {
    const folder = site(overdosingProtocol());
    const refused = await runLimb(folder, ["compile", "wrist.limb", "--to", "fhir"]);
    expect(refused.err).toContain("unsafe  dose-over-maximum");
    expect(existsSync(join(folder, "wrist.fhir.json"))).toBe(false);
    expect(refused.code).toBe(1);
    const { code } = await runLimb(folder, ["compile", "wrist.limb", "--to", "fhir", "--draft"]);
    expect(readFileSync(join(folder, "wrist.fhir.json"), "utf8")).toContain(
      '"title": "Draft – not for use: ',
    );
    expect(code).toBe(0);
  });

  test("a form that does not exist is named with those that do", async () => {
    const { code, err } = await runLimb(site(), ["compile", "wrist.limb", "--to", "paper"]);
    expect(err).toContain("Allowed choices are rule-file, fhir.");
    expect(code).toBe(2);
  });
});
