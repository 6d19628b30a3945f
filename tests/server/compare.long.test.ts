import { existsSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { GitRepository } from "./git-repository.ts";
import { cleanProtocol, FORMULARY, overdosingProtocol, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";
import { versionAnswers } from "./version-answers.ts";

const DOSE = "amount 3 mg/kg up to 200 mg";
const looser = (text = cleanProtocol()) => replaced(text, DOSE, "amount 3.5 mg/kg up to 200 mg");
const raised = (text: string) => replaced(text, "version   0.1.0", "version   1.0.0");

const sites = (before: string, now: string) =>
  folderWith({
    "old/formulary.limb": FORMULARY,
    "old/wrist.limb": before,
    "new/formulary.limb": FORMULARY,
    "new/wrist.limb": now,
  });

describe("two folders", () => {
  test("with the same protocols have no change, whatever their layout", async () => {
    const laidOut = cleanProtocol().replaceAll("  ", " ");
    const { code, out, err } = await runLimb(sites(cleanProtocol(), laidOut), ["compare", "old", "new"]);
    expect(out).toContain("Compared the folder `old` with the folder `new`: 1 protocol");
    expect(out).toContain("No change: everything was compared");
    expect({ code, err }).toEqual({ code: 0, err: "" });
  });

  test("with a looser dose end with 1, also for a draft, until the first number is raised", async () => {
    const still = await runLimb(sites(cleanProtocol(), looser()), ["compare", "old", "new"]);
    expect(still.out).toContain("looser  dose `local`");
    expect(still.out).toContain("it is still 0.1.0");
    const now = await runLimb(sites(cleanProtocol(), raised(looser())), ["compare", "old", "new"]);
    expect(now.out).toContain("and it was: 0.1.0 became 1.0.0");
    expect([still.code, now.code]).toEqual([1, 0]);
  });

  test("of which one is no longer safe end with 1, whatever number was raised, and say so first", async () => {
    const { code, out } = await runLimb(sites(cleanProtocol(), raised(overdosingProtocol())), [
      "compare",
      "old",
      "new",
    ]);
    expect(code).toBe(1);
    expect(out).toMatch(/^no longer safe {2}rule `dose-over-maximum`/m);
    expect(out.indexOf("no longer safe  ")).toBeLessThan(out.indexOf("looser  "));
  });

  test("of which one is unsafe now say so, also where the earlier one was not understood wholly", async () => {
    const before = replaced(cleanProtocol(), "at least 30 min", "at least thirty min");
    const { out } = await runLimb(sites(before, overdosingProtocol()), ["compare", "old", "new"]);
    expect(out).toContain("Not decided: not everything could be compared");
    expect(out).toMatch(/^no longer safe {2}rule `dose-over-maximum`/m);
  });

  test("of which the formulary alone makes one unsafe end with 1", async () => {
    const folder = folderWith({
      "old/formulary.limb": FORMULARY,
      "old/wrist.limb": cleanProtocol(),
      "new/formulary.limb": replaced(FORMULARY, "4 mg/kg", "5 mg/kg"),
      "new/wrist.limb": raised(cleanProtocol()),
    });
    const { code, out } = await runLimb(folder, ["compare", "old", "new"]);
    expect(code).toBe(1);
    expect(out).toMatch(/^no longer safe {2}rule `agent-maximum-above-label`/m);
  });

  test("one of which cannot be read wholly end with 2, and say what was not compared", async () => {
    const folder = sites(cleanProtocol(), cleanProtocol());
    writeFileSync(join(folder, "new/hand.limb"), Buffer.from([0xff, 0xfe, 0x61, 0x00]));
    const { code, out, err } = await runLimb(folder, ["compare", "old", "new"]);
    expect(err).toContain("new/hand.limb cannot be read as text");
    expect(out).toContain("in the new version: new/hand.limb cannot be read as text");
    expect(code).toBe(2);
  });
});

describe("the forms", () => {
  test("--json, --markdown, --notes and --html each print one, and two at once are refused", async () => {
    const folder = sites(cleanProtocol(), looser());
    const run = (...form: string[]) => runLimb(folder, ["compare", "old", "new", ...form]);
    expect(JSON.parse((await run("--json")).out).summary.changes.looser).toBe(1);
    expect((await run("--markdown")).out).toContain("### Looser");
    expect((await run("--notes")).out).toContain("Allowed from now on, and not before:");
    expect((await run("--html")).out).toMatch(/^<!doctype html>/);
    expect(await run("--html", "--notes")).toMatchObject({ code: 2, out: "" });
  });

  test("--out writes a file whole, and says so", async () => {
    const folder = sites(cleanProtocol(), looser());
    const given = ["compare", "old", "new", "--html", "--out", "page.html"];
    expect(await runLimb(folder, given)).toEqual({ code: 1, out: "Wrote page.html\n", err: "" });
    expect(readFileSync(join(folder, "page.html"), "utf8")).toMatch(/<\/html>\n$/);
    const refused = await runLimb(folder, [...given.slice(0, -1), "none/page.html"]);
    expect(refused.code).toBe(2);
    expect(existsSync(join(folder, "none"))).toBe(false);
  });

  test("--protocol compares one alone, and a name that is none is told", async () => {
    const folder = sites(cleanProtocol(), looser());
    writeFileSync(join(folder, "old/hand.limb"), cleanProtocol("hand"));
    writeFileSync(join(folder, "new/hand.limb"), cleanProtocol("hand"));
    const one = await runLimb(folder, ["compare", "old", "new", "--protocol", "hand"]);
    expect(one).toMatchObject({ code: 0 });
    expect(one.out).not.toContain("wrist");
    const none = await runLimb(folder, ["compare", "old", "new", "--protocol", "foot"]);
    expect(none.code).toBe(2);
    expect(none.err).toContain("declares a protocol foot");
  });
});

test("two shared files without a protocol are no comparison, and never without a change", async () => {
  const folder = sites(cleanProtocol(), cleanProtocol());
  const { code, out, err } = await runLimb(folder, ["compare", "old/formulary.limb", "new/formulary.limb"]);
  expect({ code, out }).toEqual({ code: 2, out: "" });
  expect(err).toContain("declares a protocol, so nothing was compared");
});

test("one version, or three, is a wrong usage", async () => {
  const folder = sites(cleanProtocol(), cleanProtocol());
  for (const given of [["old"], ["old", "new", "old"]]) {
    const { code, err } = await runLimb(folder, ["compare", ...given]);
    expect(code).toBe(2);
    expect(err).toContain("`limb compare --help` shows how it is used.");
  }
});

const repository = () =>
  new GitRepository({
    "shared/formulary.limb": FORMULARY,
    "protocols/wrist.limb": cleanProtocol("wrist", "../shared/formulary.limb"),
    "protocols/hand.limb": cleanProtocol("hand", "../shared/formulary.limb"),
  });

const WRIST = "protocols/wrist.limb";
const wrist = () => cleanProtocol("wrist", "../shared/formulary.limb");

describe("a revision of a Git repository", () => {
  test("is compared with a file of the work tree", async () => {
    const { folder } = repository().write({ [WRIST]: looser(wrist()) });
    const { code, out, err } = await runLimb(folder, ["compare", `HEAD:${WRIST}`, WRIST]);
    expect(out).toContain(`Compared \`HEAD:${WRIST}\` with \`${WRIST}\`: 1 protocol`);
    expect({ code, err }).toEqual({ code: 1, err: "" });
  });

  test("is compared as a whole, with another revision or with the work tree", async () => {
    const all = repository()
      .write({ [WRIST]: looser(wrist()) })
      .commit("looser");
    const { out } = await runLimb(all.folder, ["compare", "HEAD~1:", "HEAD:"]);
    expect(out).toContain("Compared `HEAD~1` with `HEAD`: 2 protocols");
    expect(out).toContain("No change in 1 protocol, compared in everything: hand.");
    expect((await runLimb(all.folder, ["compare", "main:", "."])).code).toBe(0);
  });

  test("takes what its files use from itself: not from the work tree, and not from outside", async () => {
    const all = repository().write({ "shared/formulary.limb": null }).commit("no formulary");
    const { folder } = all;
    const { code, out } = await runLimb(folder, ["compare", `HEAD~1:${WRIST}`, `HEAD~1:${WRIST}`]);
    expect(out).toContain("No change: everything was compared");
    expect(code).toBe(0);
    // The work tree has a formulary again; the last commit has none.
    all.write({ "shared/formulary.limb": FORMULARY });
    const json = await runLimb(folder, ["compare", `HEAD:${WRIST}`, WRIST, "--json"]);
    expect(JSON.parse(json.out).protocols[0].outcome).not.toBe("nothing");
  });

  test("counts a path from the top of the repository, and from the current folder with ./", async () => {
    const { folder } = repository();
    const within = join(folder, "protocols");
    for (const path of ["protocols/wrist.limb", "./wrist.limb", "../protocols/wrist.limb"]) {
      const { out } = await runLimb(within, ["compare", `HEAD:${path}`, `HEAD:${WRIST}`]);
      expect(out).toContain("No change: everything was compared");
    }
    const outside = await runLimb(within, ["compare", "HEAD:../../wrist.limb", "HEAD:"]);
    expect(outside).toMatchObject({ code: 2 });
    expect(outside.err).toContain("has no file and no folder ../../wrist.limb");
  });

  test("is read without the filters, hooks and pagers that a repository may set", async () => {
    const all = repository();
    all.write({ ".gitattributes": "*.limb diff=evil filter=evil\n" }).commit("attributes");
    const ran = join(all.folder, "ran");
    for (const key of ["diff.evil.textconv", "filter.evil.smudge", "core.fsmonitor", "core.pager"]) {
      all.git("config", key, `touch ${ran}`);
    }
    expect((await runLimb(all.folder, ["compare", "HEAD:", "HEAD~1:"])).code).toBe(0);
    expect(existsSync(ran)).toBe(false);
  });

  test("does not follow a link or another repository in it, and says so", async () => {
    const all = repository();
    symlinkSync("/etc/passwd", join(all.folder, "protocols/foot.limb"));
    all.commit("link");
    const { code, err } = await runLimb(all.folder, ["compare", "HEAD:", "HEAD~1:"]);
    expect(err).toContain(
      "HEAD:protocols/foot.limb is a link, and what it leads to is not read from a revision.",
    );
    expect(code).toBe(2);
  });

  test("is known by a branch with a slash, and by a commit found by its message", async () => {
    const all = repository();
    all.git("branch", "ward/next");
    for (const revision of ["ward/next", "HEAD^{/first}", "main@{0}"]) {
      const { out } = await runLimb(all.folder, ["compare", `${revision}:${WRIST}`, WRIST]);
      expect(out).toContain("No change: everything was compared");
    }
  });
});

describe("what is no revision is told in words:", () => {
  test.each([
    ["v9:", "There is no revision v9 in the Git repository"],
    ["--output=x:", "There is no revision --output=x"],
    ["HEAD:none.limb", "The revision HEAD has no file and no folder none.limb."],
    ["HEAD:.development", "has no file and no folder"],
    ["nothing", "nothing does not exist."],
    [
      "C:\\protocols\\wrist.limb",
      "C:\\protocols\\wrist.limb is no file and no folder. There is no revision C",
    ],
  ])("%s", async (named, words) => {
    const { folder } = repository();
    const { code, out, err } = await runLimb(folder, ["compare", "--", named, WRIST]);
    expect(err).toContain(words);
    expect({ code, out }).toEqual({ code: 2, out: "" });
  });

  test("where there is no repository", async () => {
    const { code, err } = await runLimb(folderWith({ "a/wrist.limb": cleanProtocol() }), [
      "compare",
      "HEAD:",
      "a",
    ]);
    expect(err).toContain("is in no Git repository, so it has no revisions");
    expect(code).toBe(2);
  });

  test("where there is no Git", async () => {
    const { folder } = repository();
    const path = process.env.PATH;
    process.env.PATH = folder;
    try {
      const { code, err } = await runLimb(folder, ["compare", "HEAD:", "."]);
      expect(err).toContain("there is no program git");
      expect(code).toBe(2);
    } finally {
      process.env.PATH = path;
    }
  });
});

test.skipIf(process.platform === "win32")("a file with a colon in its name is a file", async () => {
  const folder = folderWith({
    "formulary.limb": FORMULARY,
    "HEAD:wrist.limb": cleanProtocol(),
    "now.limb": looser(),
  });
  const { code, out } = await runLimb(folder, ["compare", "HEAD:wrist.limb", "now.limb"]);
  expect(out).toContain("Compared `HEAD:wrist.limb` with `now.limb`");
  expect(code).toBe(1);
});

test("a revision is that of the folder, whatever repository the environment points to", async () => {
  const [here, other] = [
    repository(),
    repository()
      .write({ [WRIST]: looser(wrist()) })
      .commit("looser"),
  ];
  process.env.GIT_DIR = join(other.folder, ".git");
  try {
    const { out } = await runLimb(here.folder, ["compare", `HEAD:${WRIST}`, WRIST]);
    expect(out).toContain("No change: everything was compared");
  } finally {
    delete process.env.GIT_DIR;
  }
});

describe("limb check --against", () => {
  const inReview = (text: string) => replaced(text, "status    draft", "status    in-review");
  const all = () =>
    new GitRepository({ "formulary.limb": FORMULARY, "wrist.limb": inReview(cleanProtocol()) });
  const RULE = "version-not-raised";

  test("finds a version that was raised too little since a revision, and says what to write", async () => {
    const { folder } = all().write({ "wrist.limb": inReview(looser()) });
    const { code, out } = await runLimb(folder, ["check", "--against", "HEAD:"]);
    expect(out).toMatch(/doubtful {2}version-not-raised +wrist\.limb:\d+:13/);
    expect(out.replace(/\s+/g, " ")).toContain("`wrist` 0.1.0 changes what `HEAD` says as 0.1.0: 1 looser");
    expect(out).toContain("Write `version 1.0.0`");
    expect(code).toBe(1);
  });

  test("holds where the version was raised enough, and is not asked of a new protocol and of a draft", async () => {
    const repository = all().write({
      "wrist.limb": raised(inReview(looser())),
      "new.limb": inReview(cleanProtocol("new")),
    });
    const verdicts = await versionAnswers(repository.folder, ["--against", "HEAD:"]);
    expect(verdicts).toEqual({ wrist: "holds", new: undefined });
    repository.write({ "wrist.limb": looser() });
    expect(await versionAnswers(repository.folder, ["--against", "HEAD:"])).toMatchObject({
      wrist: undefined,
    });
  });

  test("is not decided where the earlier version could not be read wholly", async () => {
    const repository = all().write({
      "wrist.limb": replaced(inReview(cleanProtocol()), "at least 30 min", "at least 30"),
    });
    repository.commit("a slip").write({ "wrist.limb": inReview(cleanProtocol()) });
    expect(await versionAnswers(repository.folder, ["--against", "HEAD:"])).toEqual({ wrist: "not-decided" });
  });

  test("takes a folder, too, and tells what is no version", async () => {
    const folder = sites(inReview(cleanProtocol()), inReview(looser()));
    expect((await runLimb(folder, ["check", "new", "--against", "old"])).out).toContain(RULE);
    expect(await runLimb(folder, ["check", "new", "--against", "none"])).toMatchObject({ code: 2, out: "" });
  });
});
