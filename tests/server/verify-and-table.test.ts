import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { readCsv } from "../language/table/read-csv.ts";
import { cleanProtocol, FORMULARY, overdosingProtocol, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

async function compiled(): Promise<{ readonly folder: string; readonly text: string }> {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": cleanProtocol() });
  await runLimb(folder, ["compile", "wrist.limb"]);
  return { folder, text: readFileSync(join(folder, "wrist.json"), "utf8") };
}

describe("limb verify", () => {
  test("ends with 0 for a whole file, and proves again what is about amounts, order and time", async () => {
    const { folder, text } = await compiled();
    const { code, out } = await runLimb(folder, ["verify", "wrist.json"]);
    expect(out).toContain("wrist.json: agrees with itself.");
    expect(out).toContain(`Meaning  ${JSON.parse(text).digests.meaning}`);
    expect(out).toMatch(/Proven again: \d\d rules/);
    expect(out).toContain("it is about the text of the protocol, which is not in the file");
    expect(code).toBe(0);
  });

  test.each(["meaning", "proof"])(
    "ends with 1 when another %s was approved, and with 0 for the one that was",
    async (digest) => {
      const { folder, text } = await compiled();
      const approved = JSON.parse(text).digests[digest];
      const other = await runLimb(folder, ["verify", "wrist.json", `--${digest}`, "sha256:0"]);
      expect(other.out).toContain("wrist.json: differs from what it claims.");
      expect(other.code).toBe(1);
      expect((await runLimb(folder, ["verify", "wrist.json", `--${digest}`, approved])).code).toBe(0);
    },
  );

  test("ends with 2 when a file was changed, cut off, is something else, or is missing", async () => {
    const { folder, text } = await compiled();
    writeFileSync(join(folder, "changed.json"), replaced(text, "Wrist", "Ankle"));
    writeFileSync(join(folder, "cut.json"), text.slice(0, -10));
    for (const file of ["changed.json", "cut.json", "wrist.limb"]) {
      const { code, out } = await runLimb(folder, ["verify", file]);
      expect(out).toContain(`${file}: not a whole rule file.`);
      expect(code).toBe(2);
    }
    const { code, err, out } = await runLimb(folder, ["verify", "lost.json", "wrist.json"]);
    expect(err).toContain("lost.json does not exist.");
    expect(out).toContain("wrist.json: agrees with itself.");
    expect(code).toBe(2);
  });

  test("names what is accepted up to a value, and says when that has ended", async () => {
    const local =
      '\nlocal-rules here {\n  accept dose-over-maximum of local in wrist up to 3.5 mg/kg because "Tendons" by "Lead" by "Pharmacy" until 2027-01-31\n}\n';
    const protocol = replaced(
      cleanProtocol(),
      "amount 3 mg/kg up to 200 mg",
      "amount 3.5 mg/kg up to 200 mg",
    );
    const folder = folderWith({
      "formulary.limb": replaced(FORMULARY, "4 mg/kg", "3 mg/kg"),
      "wrist.limb": `${replaced(protocol, "  review by", "  local-rules here\n  review by")}${local}`,
    });
    const on = ["--on", "2026-11-25"];
    const checked = await runLimb(folder, ["check", "wrist.limb", ...on]);
    expect(checked.out).toContain("Accepted up to 3.5 mg/kg by Lead and Pharmacy until 2027-01-31: Tendons");
    expect(checked.code).toBe(0);
    expect((await runLimb(folder, ["compile", "wrist.limb", ...on])).code).toBe(0);
    const { out, code } = await runLimb(folder, ["verify", "wrist.json", ...on]);
    expect(out).toContain(
      "Accepted: dose-over-maximum, up to 3.5 mg/kg, until 2027-01-31 by Lead and Pharmacy: `local` gives",
    );
    expect(code).toBe(0);
    const ended = await runLimb(folder, ["verify", "wrist.json", "--on", "2027-02-01"]);
    expect(ended.out).toContain("up to 3.5 mg/kg, HAS ENDED, until 2027-01-31");
    expect(ended.code).toBe(1);
    expect((await runLimb(folder, ["compile", "wrist.limb", "--on", "2027-02-01"])).code).not.toBe(0);
  });

  test("gives the same as JSON", async () => {
    const { folder } = await compiled();
    const { code, out } = await runLimb(folder, ["verify", "wrist.json", "--json"]);
    expect(JSON.parse(out)).toMatchObject({ files: [{ file: "wrist.json", kind: "agrees" }], unread: [] });
    expect(code).toBe(0);
  });
});

describe("limb table", () => {
  const site = (protocol: string) => folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });

  test("prints the dose table, or writes it", async () => {
    const folder = site(cleanProtocol());
    const { code, out } = await runLimb(folder, ["table", "wrist.limb"]);
    expect(out.split("\r\n").filter((row) => row.startsWith("block,local,lidocaine"))).toHaveLength(86);
    expect(code).toBe(0);
    const written = await runLimb(folder, ["table", "wrist.limb", "--out", "doses.csv"]);
    expect(written).toEqual({ code: 0, out: "", err: "" });
    expect(readFileSync(join(folder, "doses.csv"), "utf8")).toBe(out);
  });

  test("prints the same table as JSON", async () => {
    const folder = site(cleanProtocol());
    const { code, out } = await runLimb(folder, ["table", "wrist.limb", "--json"]);
    const { protocol, note, columns, rows } = JSON.parse(out);
    const csv = readCsv((await runLimb(folder, ["table", "wrist.limb"])).out);
    expect({ code, protocol }).toEqual({ code: 0, protocol: "wrist" });
    expect([columns, ...rows]).toEqual(csv.slice(0, -1));
    expect(csv.at(-1)?.slice(0, 2)).toEqual(["#", note]);
    expect(columns).toContain("Weight (kg)");
  });

  test("is refused while an unsafe finding stands, unless it is marked as a draft", async () => {
    const folder = site(overdosingProtocol());
    const refused = await runLimb(folder, ["table", "wrist.limb"]);
    expect(refused.err).toContain("unsafe  dose-over-maximum");
    expect({ code: refused.code, out: refused.out }).toEqual({ code: 1, out: "" });
    const draft = await runLimb(folder, ["table", "wrist.limb", "--draft"]);
    expect(draft.out).toMatch(/draft/i);
    expect(draft.code).toBe(0);
  });

  test("asks which protocol is meant where a file has several, and says when it has none", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "two.limb": `${cleanProtocol("one")}\n${cleanProtocol("two").replace(/^use .*$/m, "")}`,
    });
    const several = await runLimb(folder, ["table", "two.limb"]);
    expect(several.err).toContain(
      "two.limb declares several protocols: one, two. Choose one with --protocol NAME.",
    );
    expect(several.code).toBe(2);
    expect((await runLimb(folder, ["table", "two.limb", "--protocol", "two"])).out).toContain("two, 0.1.0");
    const none = await runLimb(folder, ["table", "formulary.limb"]);
    expect(none.err).toContain("formulary.limb declares no protocol, so it has no dose table.");
    expect(none.code).toBe(2);
  });
});
