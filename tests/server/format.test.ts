import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const untidy = (text: string) => text.replaceAll("    amount ", " amount      ");

test("files are laid out in place, and told", async () => {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": untidy(cleanProtocol()) });
  const { code, out } = await runLimb(folder, ["format"]);
  expect(readFileSync(join(folder, "wrist.limb"), "utf8")).toBe(cleanProtocol());
  expect(out).toBe("laid out: wrist.limb\n1 of 2 already laid out.\n");
  expect(code).toBe(0);
});

test("--check changes nothing and ends with 1 when something is not laid out", async () => {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": untidy(cleanProtocol()) });
  const { code, out } = await runLimb(folder, ["format", "--check"]);
  expect(readFileSync(join(folder, "wrist.limb"), "utf8")).toBe(untidy(cleanProtocol()));
  expect(out).toBe("not laid out: wrist.limb\n1 of 2 already laid out.\n");
  expect(code).toBe(1);
  expect((await runLimb(folder, ["format", "--check", "formulary.limb"])).code).toBe(0);
});

test("--stdin lays out standard input and prints it", async () => {
  const { code, out } = await runLimb(folderWith({}), ["format", "--stdin"], {
    input: untidy(cleanProtocol()),
  });
  expect(out).toBe(cleanProtocol());
  expect(code).toBe(0);
});

test("a file that cannot be read in full is left as it is, and the others are laid out", async () => {
  const broken = replaced(cleanProtocol(), "timer hold", "timr hold");
  const folder = folderWith({ "a.limb": broken, "b.limb": untidy(cleanProtocol()) });
  const { code, err } = await runLimb(folder, ["format"]);
  expect(err).toMatch(/^limb: a\.limb:35:3 was left as it is: .+ `limb check a\.limb` says more\.\n$/);
  expect(readFileSync(join(folder, "a.limb"), "utf8")).toBe(broken);
  expect(readFileSync(join(folder, "b.limb"), "utf8")).toBe(cleanProtocol());
  expect(code).toBe(2);
});

test("--json tells what was done", async () => {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": untidy(cleanProtocol()) });
  const { out } = await runLimb(folder, ["format", "--check", "--json"]);
  expect(JSON.parse(out)).toEqual({
    files: [
      { file: "formulary.limb", state: "unchanged" },
      { file: "wrist.limb", state: "not laid out" },
    ],
    unread: [],
  });
});
