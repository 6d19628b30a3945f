import { existsSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { cleanProtocol, doubtfulProtocol, FORMULARY, overdosingProtocol, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const site = (protocol = cleanProtocol()) =>
  folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });

test("a sheet is written beside its protocol, with its digest told", async () => {
  const folder = site();
  const { code, out, err } = await runLimb(folder, ["sheet", "wrist.limb"]);
  const html = readFileSync(join(folder, "wrist.html"), "utf8");
  const [meaning] = /sha256:[0-9a-f]{64}/.exec(html) ?? [];
  expect({ code, out, err }).toEqual({
    code: 0,
    out: `Wrote wrist.html: wrist, meaning ${meaning}\n`,
    err: "",
  });
});

test("its digest is that of the rule file", async () => {
  const folder = site();
  await runLimb(folder, ["sheet", "wrist.limb"]);
  const { out } = await runLimb(folder, ["compile", "wrist.limb"]);
  const [meaning = "none"] = /sha256:[0-9a-f]{64}/.exec(out) ?? [];
  expect(readFileSync(join(folder, "wrist.html"), "utf8")).toContain(meaning);
});

test("--out names the file, and - is standard output", async () => {
  const folder = site();
  const named = await runLimb(folder, ["sheet", "wrist.limb", "--out", "room.html"]);
  const printed = await runLimb(folder, ["sheet", "wrist.limb", "--out", "-"]);
  expect(printed.out).toBe(readFileSync(join(folder, "room.html"), "utf8"));
  expect([named.code, printed.code, existsSync(join(folder, "wrist.html"))]).toEqual([0, 0, false]);
});

test("--json prints what the sheet says", async () => {
  const folder = site();
  const { code, out } = await runLimb(folder, ["sheet", "wrist.limb", "--json"]);
  const { protocol, head, marks, caution } = JSON.parse(out);
  expect({ protocol, version: head.version, marks }).toEqual({
    protocol: "wrist",
    version: "0.1.0",
    marks: ["Draft"],
  });
  expect(caution).toContain("It is not a medical device");
  expect([code, existsSync(join(folder, "wrist.html"))]).toEqual([0, false]);
});

test("a protocol with an unsafe finding is refused, and the sheet of before stays as it was", async () => {
  const folder = site(overdosingProtocol());
  writeFileSync(join(folder, "wrist.html"), "before");
  const { code, out, err } = await runLimb(folder, ["sheet", "wrist.limb"]);
  expect(err).toContain(
    "limb: `wrist` is not written: unsafe findings stand. The findings below stand in the way.",
  );
  expect(err).toContain("unsafe  dose-over-maximum");
  expect({ code, out }).toEqual({ code: 1, out: "" });
  expect(readFileSync(join(folder, "wrist.html"), "utf8")).toBe("before");
  expect(readdirSync(folder).sort()).toEqual(["formulary.limb", "wrist.html", "wrist.limb"]);
});

test("--draft writes it, not for use", async () => {
  const folder = site(overdosingProtocol());
  const { code } = await runLimb(folder, ["sheet", "wrist.limb", "--draft"]);
  expect(code).toBe(0);
  expect(readFileSync(join(folder, "wrist.html"), "utf8")).toContain("Draft – not for use");
});

test("errors are refused also as a draft", async () => {
  const folder = site(replaced(cleanProtocol(), "insert cannula", "insert canula"));
  const { code, err } = await runLimb(folder, ["sheet", "wrist.limb", "--draft"]);
  expect(err).toContain("limb: `wrist` is not written: there are errors.");
  expect(code).toBe(1);
});

test("a doubtful finding is printed on it", async () => {
  const folder = site(doubtfulProtocol());
  const { out, code } = await runLimb(folder, ["sheet", "wrist.limb", "--out", "-"]);
  expect(out).toContain("doubtful trailing-zero");
  expect(code).toBe(0);
});

test("volumes are drawn up to a mark of the syringe that the drug names", async () => {
  const named = FORMULARY.replace("  maximum", "  syringe 50 mL marked every 0.5 mL\n  maximum");
  const folder = folderWith({ "formulary.limb": named, "wrist.limb": cleanProtocol() });
  const { out } = await runLimb(folder, ["sheet", "wrist.limb", "--out", "-"]);
  // 3 mg/kg of 5 mg/mL are 27.6 mL at 46 kg.
  expect(out).toContain("syringe: 50 mL, marked every 0.5 mL");
  expect(out).toContain('<th scope="row">46</th><td>27.5</td>');
});

test("one of several protocols is chosen; a file without one has no sheet", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "two.limb": `${cleanProtocol("one")}\n${cleanProtocol("two").replace(/^use .*$/m, "")}`,
  });
  const several = await runLimb(folder, ["sheet", "two.limb"]);
  expect(several.err).toContain(
    "two.limb declares several protocols: one, two. Choose one with --protocol NAME.",
  );
  expect(several.code).toBe(2);
  const chosen = await runLimb(folder, ["sheet", "two.limb", "--protocol", "two"]);
  expect(chosen.out).toContain("Wrote two.html: two");
  const none = await runLimb(folder, ["sheet", "formulary.limb"]);
  expect(none.err).toContain("formulary.limb declares no protocol, so it has no sheet.");
});

test("a folder that does not exist is named, and nothing is left behind", async () => {
  const folder = site();
  const { code, err } = await runLimb(folder, ["sheet", "wrist.limb", "--out", "lost/wrist.html"]);
  expect(err).toContain("lost/wrist.html could not be written: its folder does not exist.");
  expect(code).toBe(2);
  expect(readdirSync(folder).sort()).toEqual(["formulary.limb", "wrist.limb"]);
});

test("the review is judged on the day that is said", async () => {
  const folder = site();
  const { out } = await runLimb(folder, ["sheet", "wrist.limb", "--out", "-", "--on", "2030-01-01"]);
  expect(out).toContain("Review overdue");
});
