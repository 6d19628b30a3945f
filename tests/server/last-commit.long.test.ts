import { chmodSync, existsSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { GitRepository } from "./git-repository.ts";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";
import { versionAnswers } from "./version-answers.ts";

const inReview = (text: string) => replaced(text, "status    draft", "status    in-review");
const looser = (text: string) => replaced(text, "3 mg/kg up to 200 mg", "3.5 mg/kg up to 200 mg");
const raised = (text: string) => replaced(text, "version   0.1.0", "version   1.0.0");
const REVIEWED = inReview(cleanProtocol());

const committed = (files: Readonly<Record<string, string>> = {}) =>
  new GitRepository({ "formulary.limb": FORMULARY, "wrist.limb": REVIEWED, ...files });

describe("limb check, in a Git repository, looks at the last commit by itself", () => {
  test("a dose that changed under the same version is found, with the version to write", async () => {
    const { folder } = committed().write({ "wrist.limb": looser(REVIEWED) });
    const { code, out } = await runLimb(folder, ["check"]);
    expect(out).toMatch(/doubtful {2}version-not-raised +wrist\.limb:\d+:13/);
    const words = out.replace(/\s+/g, " ");
    expect(words).toContain("`wrist` 0.1.0 changes what the last commit says as 0.1.0: 1 looser.");
    expect(words).toContain("Write `version 1.0.0`");
    expect(code).toBe(1);
  });

  test("the rule holds once the version is raised as far as the changes ask", async () => {
    const { folder } = committed().write({ "wrist.limb": raised(looser(REVIEWED)) });
    expect(await versionAnswers(folder)).toEqual({ wrist: "holds" });
    expect((await runLimb(folder, ["check"])).code).toBe(0);
  });

  test("nothing is said of a draft, of what says the same, and of a protocol that is new", async () => {
    const repository = committed().write({ "wrist.limb": looser(cleanProtocol()) });
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: undefined });
    repository.write({
      "wrist.limb": `// looked through\n${REVIEWED}`,
      "new.limb": inReview(cleanProtocol("new")),
    });
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: undefined, new: undefined });
  });

  test("nothing is said of a clean checkout, however its lines end", async () => {
    const repository = committed();
    const clean = await runLimb(repository.folder, ["check", "--verbose"]);
    expect(clean.out).toContain("no earlier version says otherwise: version-not-raised.");
    repository.write({ "wrist.limb": `\ufeff${REVIEWED.replaceAll("\n", "\r\n")}` });
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: undefined });
  });

  test("a protocol has to be raised where only the formulary that it uses changed", async () => {
    const { folder } = committed().write({
      "formulary.limb": replaced(FORMULARY, "maximum       4 mg/kg", "maximum       4.5 mg/kg"),
    });
    const { out } = await runLimb(folder, ["check", "wrist.limb"]);
    expect(out).toMatch(/version-not-raised +wrist\.limb:/);
    expect(await versionAnswers(folder)).toEqual({ wrist: "broken" });
  });

  test("a file that was moved, or a protocol that was renamed in its file, keeps its earlier version", async () => {
    const repository = committed();
    renameSync(join(repository.folder, "wrist.limb"), join(repository.folder, "forearm.limb"));
    repository.write({ "forearm.limb": looser(REVIEWED) });
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: "broken" });
    const renamed = committed().write({ "wrist.limb": looser(inReview(cleanProtocol("forearm"))) });
    expect(await versionAnswers(renamed.folder)).toEqual({ forearm: "broken" });
  });

  test("a protocol that was renamed and moved at once is known by what it says", async () => {
    const repository = committed();
    renameSync(join(repository.folder, "wrist.limb"), join(repository.folder, "forearm.limb"));
    repository.write({ "forearm.limb": looser(inReview(cleanProtocol("forearm"))) });
    expect(await versionAnswers(repository.folder)).toEqual({ forearm: "broken" });
  });

  test("paths are those of the folder that is checked, also below the top of the repository", async () => {
    const repository = new GitRepository({
      "ward/formulary.limb": FORMULARY,
      "ward/protocols/wrist.limb": inReview(cleanProtocol("wrist", "../formulary.limb")),
    });
    const forearm = looser(inReview(cleanProtocol("forearm", "../formulary.limb")));
    repository.write({ "ward/protocols/wrist.limb": forearm });
    const ward = join(repository.folder, "ward");
    // Renamed, so that it is known by its path alone.
    expect(await versionAnswers(ward, ["protocols"])).toEqual({ forearm: "broken" });
    expect(await versionAnswers(repository.folder, ["ward"])).toEqual({ forearm: "broken" });
    const fromBeside = await versionAnswers(join(ward, "protocols"), ["wrist.limb", "--workspace", ".."]);
    expect(fromBeside).toEqual({ forearm: "broken" });
  });

  test("is not decided where the last commit could not be understood", async () => {
    const slip = replaced(REVIEWED, "at least 30 min", "at least 30");
    const one = committed({ "wrist.limb": slip }).write({ "wrist.limb": REVIEWED });
    expect(await versionAnswers(one.folder)).toEqual({ wrist: "not-decided" });
    const other = committed({ "wrist.limb": "protokol wrist {\n" }).write({ "wrist.limb": REVIEWED });
    expect(await versionAnswers(other.folder)).toEqual({ wrist: "not-decided" });
    const latin = committed();
    writeFileSync(
      join(latin.folder, "wrist.limb"),
      Buffer.from(REVIEWED.replace("Wrist", "Wr\u00efst"), "latin1"),
    );
    latin.commit("not UTF-8").write({ "wrist.limb": REVIEWED });
    expect(await versionAnswers(latin.folder)).toEqual({ wrist: "not-decided" });
    expect((await runLimb(latin.folder, ["check"])).err).toBe("");
  });

  test("fetches nothing that is not here, and starts no program that a repository names", async () => {
    const origin = committed();
    origin.git("config", "uploadpack.allowFilter", "true");
    const folder = folderWith({
      "upload-pack": '#!/bin/sh\ntouch "$(dirname "$0")/started"\nexec git-upload-pack "$@"\n',
    });
    chmodSync(join(folder, "upload-pack"), 0o755);
    origin.git(
      "clone",
      "--quiet",
      "--no-checkout",
      "--filter=blob:none",
      `file://${origin.folder}`,
      join(folder, "clone"),
    );
    const [clone, started] = [join(folder, "clone"), join(folder, "started")];
    origin.git("-C", clone, "config", "remote.origin.uploadpack", join(folder, "upload-pack"));
    origin.git("-C", clone, "config", "protocol.file.allow", "always");
    for (const [file, text] of Object.entries({
      "formulary.limb": FORMULARY,
      "wrist.limb": looser(REVIEWED),
    })) {
      writeFileSync(join(clone, file), text);
    }
    expect(await versionAnswers(clone)).toEqual({ wrist: "not-decided" });
    const { out } = await runLimb(clone, ["check"]);
    expect(out.replace(/\s+/g, " ")).toContain("is not in this copy of the repository");
    expect(existsSync(started)).toBe(false);
  });

  test("is not decided where Git does not give the last commit", async () => {
    const repository = committed().write({ "wrist.limb": looser(REVIEWED) });
    repository.git("checkout", "--quiet", "--detach");
    writeFileSync(join(repository.folder, ".git/HEAD"), `${"1".repeat(40)}\n`);
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: "not-decided" });
    const { out, code } = await runLimb(repository.folder, ["check"]);
    expect(out).toContain("Git does not read the last commit");
    expect(code).toBe(3);
  });

  test("a new protocol is not taken for another one that is gone", async () => {
    const repository = committed();
    rmSync(join(repository.folder, "wrist.limb"));
    const other = replaced(
      replaced(inReview(cleanProtocol("ankle")), "at least 30 min", "at least 45 min"),
      "3 mg/kg up to 200 mg",
      "2 mg/kg up to 120 mg",
    ).replace(/"[^"]+"/g, (text) => (text.endsWith('.limb"') ? text : `"Ankle: ${text.slice(1)}`));
    repository.write({ "ankle.limb": other });
    expect(await versionAnswers(repository.folder)).toEqual({ ankle: undefined });
  });

  test("is not asked with --no-against, and --against names another version", async () => {
    const repository = committed().write({ "wrist.limb": looser(REVIEWED) });
    expect(await versionAnswers(repository.folder, ["--no-against"])).toEqual({ wrist: undefined });
    repository.commit("looser");
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: undefined });
    expect(await versionAnswers(repository.folder, ["--against", "HEAD~1:"])).toEqual({ wrist: "broken" });
  });

  test("is not asked where there is no repository, no commit, or no Git, which is no trouble", async () => {
    const files = { "formulary.limb": FORMULARY, "wrist.limb": REVIEWED };
    const expected = { code: 0, err: "" };
    const alone = folderWith(files);
    expect(await runLimb(alone, ["check"])).toMatchObject(expected);
    const repository = committed();
    repository.git("update-ref", "-d", "HEAD");
    expect(await runLimb(repository.folder, ["check"])).toMatchObject(expected);
    expect(await versionAnswers(repository.folder)).toEqual({ wrist: undefined });
    const changed = committed().write({ "wrist.limb": looser(REVIEWED) });
    const path = process.env.PATH;
    process.env.PATH = alone;
    try {
      expect(await runLimb(changed.folder, ["check"])).toMatchObject(expected);
      expect(await versionAnswers(changed.folder)).toEqual({ wrist: undefined });
      const asked = await runLimb(changed.folder, ["check", "--against", "HEAD:"]);
      expect(asked.code).toBe(2);
      expect(asked.err).toContain("there is no program git");
    } finally {
      process.env.PATH = path;
    }
  });
});
