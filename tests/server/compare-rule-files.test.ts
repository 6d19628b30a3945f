import { readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { GitRepository } from "./git-repository.ts";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const DOSE = "amount 3 mg/kg up to 200 mg";
const looser = () => replaced(cleanProtocol(), DOSE, "amount 3.5 mg/kg up to 200 mg");

describe("a rule file", () => {
  const compiled = async (text: string) => {
    const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": text, "approved/": "" });
    const { code, err } = await runLimb(folder, ["compile", "wrist.limb", "--out", "approved/wrist.json"]);
    expect({ code, err }).toEqual({ code: 0, err: "" });
    return { folder, text: readFileSync(join(folder, "approved/wrist.json"), "utf8") };
  };

  test("is compared with the text, and has no change to the one it was compiled from", async () => {
    const { folder } = await compiled(cleanProtocol());
    const same = await runLimb(folder, ["compare", "approved/wrist.json", "wrist.limb"]);
    expect(same.out).toContain("Compared `approved/wrist.json` with `wrist.limb`: 1 protocol");
    expect(same.out).toContain("No change: everything was compared");
    expect(same.code).toBe(0);
    writeFileSync(join(folder, "wrist.limb"), looser());
    const changed = await runLimb(folder, ["compare", "approved/wrist.json", "wrist.limb"]);
    expect(changed.out).toContain("Before: wrist 0.1.0, draft, kept as approved/wrist.json");
    expect(changed.out).toContain("looser  dose `local`");
    expect(changed.code).toBe(1);
    const json = await runLimb(folder, ["compare", "approved/wrist.json", "wrist.limb", "--json"]);
    expect(JSON.parse(json.out).protocols[0].before.ruleFile).toBe("approved/wrist.json");
  });

  test("counts in a folder of rule files, beside other JSON, and where its protocol is not there as text", async () => {
    const { folder, text } = await compiled(cleanProtocol());
    writeFileSync(join(folder, "approved/package.json"), '{ "name": "site" }');
    writeFileSync(join(folder, "approved/schema.json"), '{ "const": "urn:limbwright:rule-file:5" }');
    writeFileSync(join(folder, "approved/picture.json"), Buffer.from([0xff, 0xfe, 0x00]));
    const kept = await runLimb(folder, ["compare", "approved", "wrist.limb"]);
    expect(kept.out).toContain("No change: everything was compared");
    expect(kept).toMatchObject({ code: 0, err: "" });
    writeFileSync(join(folder, "wrist.limb"), looser());
    // Beside its text a rule file is left out, whatever it says.
    writeFileSync(join(folder, "approved/wrist.json"), text.slice(0, -40));
    const whole = await runLimb(folder, ["compare", ".", "."]);
    expect(whole.out).toContain("1 protocol");
    expect(whole.err).toContain(
      "approved/wrist.json is no rule file that can be compared. The text is not JSON.",
    );
    writeFileSync(join(folder, "approved/wrist.json"), text);
    expect(await runLimb(folder, ["compare", ".", "."])).toMatchObject({ code: 0, err: "" });
  });

  test("that a link does not lead to is told, and nothing is taken for new without a word", async () => {
    const { folder } = await compiled(cleanProtocol());
    symlinkSync("/nowhere/wrist.json", join(folder, "approved/other.json"));
    const { err, code } = await runLimb(folder, ["compare", "approved", "wrist.limb"]);
    expect(err).toContain("approved/other.json is a link that leads nowhere.");
    expect(code).toBe(2);
  });

  test("of a revision is read from it, alone and in its folder", async () => {
    const { text } = await compiled(cleanProtocol());
    const { folder } = new GitRepository({
      "formulary.limb": FORMULARY,
      "wrist.limb": cleanProtocol(),
      "approved/wrist.json": text,
      "approved/other.json": "[]",
    }).write({ "wrist.limb": looser(), "approved/wrist.json": null });
    for (const old of ["HEAD:approved/wrist.json", "HEAD:approved"]) {
      const { code, out, err } = await runLimb(folder, ["compare", old, "wrist.limb"]);
      expect(out).toContain("looser  dose `local`");
      expect({ code, err }).toEqual({ code: 1, err: "" });
    }
    expect((await runLimb(folder, ["compare", "HEAD:approved", "HEAD:"])).code).toBe(0);
  });

  test("that was changed, or cut off, or is none, is refused", async () => {
    const { folder, text } = await compiled(cleanProtocol());
    const refusal = async (content: string) => {
      writeFileSync(join(folder, "approved/wrist.json"), content);
      const ran = await runLimb(folder, ["compare", "approved/wrist.json", "wrist.limb"]);
      expect(ran).toMatchObject({ code: 2, out: "" });
      return ran.err;
    };
    expect(await refusal(text.replace('"value":"200"', '"value":"250"'))).toContain(
      "approved/wrist.json is no rule file that can be compared. /digests/meaning: The digest is not that of the protocol in the file.",
    );
    expect(await refusal(text.slice(0, 1000))).toContain("The text is not JSON.");
    expect(await refusal("{}")).toContain("This is no rule file");
    const folderOfIt = await runLimb(folder, ["compare", "approved", "wrist.limb"]);
    expect(folderOfIt).toMatchObject({ code: 2, out: "" });
  });

  test("is what a check compares with, too", async () => {
    const inReview = (text: string) => replaced(text, "status    draft", "status    in-review");
    const { folder } = await compiled(inReview(cleanProtocol()));
    writeFileSync(join(folder, "wrist.limb"), inReview(looser()));
    const { code, out } = await runLimb(folder, ["check", "wrist.limb", "--against", "approved/wrist.json"]);
    expect(out).toMatch(/doubtful {2}version-not-raised/);
    expect(code).toBe(1);
  });
});
