import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { formatText, TEMPLATE_PLACES } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const read = (folder: string, file: string) => readFileSync(join(folder, file), "utf8");

describe.each(TEMPLATE_PLACES)("a new protocol for the %s", (place) => {
  test("is one in which nothing at all is found, and it is laid out", async () => {
    const folder = folderWith({});
    const made = await runLimb(folder, ["new", "first-try", "--place", place]);
    expect(made.out).toContain("Wrote first-try.limb and formulary.limb.");
    expect(made.code).toBe(0);
    const { code, out } = await runLimb(folder, ["check", "--severity", "advice"]);
    expect(out).toContain("first-try (first-try.limb): 1 advice;");
    expect(out).toContain("template-text-left");
    // No usual volume is published for a cuff at the ankle: that rule is not decided.
    expect(code).toBe(place === "ankle" ? 3 : 0);
    for (const file of readdirSync(folder)) {
      expect(formatText(read(folder, file))).toEqual({ kind: "formatted", text: read(folder, file) });
    }
  });

  test("can be compiled as a draft only while words of the template are left, and its rule file verified", async () => {
    const folder = folderWith({});
    await runLimb(folder, ["new", "first-try", "--place", place]);
    const refused = await runLimb(folder, ["compile", "first-try.limb"]);
    expect(refused.code).toBe(1);
    expect(refused.err).toContain("it can be written as a draft only");
    expect(refused.err).toContain("The name of your hospital");
    expect((await runLimb(folder, ["compile", "first-try.limb", "--draft"])).code).toBe(0);
    expect((await runLimb(folder, ["verify", "first-try.json"])).out).toContain("agrees with itself");
  });
});

test("the formulary beside it is used, and not changed", async () => {
  const own = `// our own\n${FORMULARY}`;
  const folder = folderWith({ "formulary.limb": own });
  const { out } = await runLimb(folder, ["new", "wrist"]);
  expect(out).toContain("Wrote wrist.limb.\n");
  expect(read(folder, "formulary.limb")).toBe(own);
});

test("another formulary is named by its path from the new file", async () => {
  const folder = folderWith({ "shared/drugs.limb": FORMULARY, "protocols/": "" });
  const given = ["new", "wrist", "--out", "protocols/wrist.limb", "--formulary", "shared/drugs.limb"];
  expect((await runLimb(folder, given)).out).toContain("Wrote protocols/wrist.limb.\n");
  expect(read(folder, "protocols/wrist.limb")).toContain('use "../shared/drugs.limb"');
  expect((await runLimb(folder, ["check", "protocols"])).code).toBe(0);
});

test("a file that is there is never overwritten", async () => {
  const folder = folderWith({ "wrist.limb": "mine" });
  const { code, err } = await runLimb(folder, ["new", "wrist"]);
  expect(err).toBe(
    "limb: wrist.limb is there already, and is left as it is. Choose another name, or another file with --out.\n",
  );
  expect(read(folder, "wrist.limb")).toBe("mine");
  expect(readdirSync(folder)).toEqual(["wrist.limb"]);
  expect(code).toBe(2);
});

test.each([
  [
    "a formulary without the drug",
    replaced(FORMULARY, "agent lidocaine", "agent prilocaine"),
    "No agent is called `lidocaine`",
  ],
  ["a formulary that cannot be read", "agent {", "the template would have errors"],
])("nothing is written with %s", async (_, formulary, words) => {
  const folder = folderWith({ "formulary.limb": formulary });
  const { code, err } = await runLimb(folder, ["new", "wrist"]);
  expect(err).toContain(words);
  expect(existsSync(join(folder, "wrist.limb"))).toBe(false);
  expect(code).toBe(2);
});

test("what was written is told as JSON", async () => {
  const { code, out } = await runLimb(folderWith({}), ["new", "wrist", "--json"]);
  expect(JSON.parse(out)).toEqual({ protocol: "wrist", written: ["wrist.limb", "formulary.limb"] });
  expect(code).toBe(0);
});

test("nothing stays behind when the protocol cannot be written", async () => {
  const folder = folderWith({ file: "no folder" });
  const { code, err } = await runLimb(folder, ["new", "wrist", "--out", "lost/wrist.limb"]);
  expect(err).toContain("its folder does not exist");
  expect(readdirSync(folder)).toEqual(["file"]);
  expect(code).toBe(2);
});

test.each([
  ["a name with capitals", ["new", "Wrist"], "Write it in lower case, with hyphens between words"],
  ["a title that would end its own quotes", ["new", "wrist", "--title", 'a"b'], "A title holds no quotes"],
  ["a place that does not exist", ["new", "wrist", "--place", "neck"], "Allowed choices are upper-arm"],
  [
    "a formulary that is not there",
    ["new", "wrist", "--formulary", "no.limb"],
    "The formulary no.limb does not exist.",
  ],
])("%s is refused", async (_, given, words) => {
  const folder = folderWith({});
  const { code, err } = await runLimb(folder, given);
  expect(err).toContain(words);
  expect(readdirSync(folder)).toEqual([]);
  expect(code).toBe(2);
});
