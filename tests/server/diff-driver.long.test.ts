import { execFileSync } from "node:child_process";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { GitRepository } from "./git-repository.ts";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { runLimb } from "./run-limb.ts";

/** A slow computer starts the built command line several times. */
const LONG = 60_000;

const LIMB = join(import.meta.dirname, "../../server/bin/limb.cjs");

const looser = (text: string) =>
  replaced(text, "amount 3 mg/kg up to 200 mg", "amount 3.5 mg/kg up to 200 mg");
const wrist = () => cleanProtocol("wrist", "../formulary.limb");

/** A repository whose `git diff` calls the command line, as its page says. */
function repository(): GitRepository {
  const all = new GitRepository({
    "formulary.limb": FORMULARY,
    "protocols/wrist.limb": wrist(),
    "protocols/hand.limb": cleanProtocol("hand", "../formulary.limb"),
    ".gitattributes": "*.limb diff=limb\n",
  });
  all.git("config", "diff.limb.command", `"${process.execPath}" "${LIMB}" compare --diff-driver`);
  return all;
}

describe("git diff with limb as its driver", () => {
  test("compares each changed file, and goes on to the next whatever it finds", { timeout: LONG }, () => {
    const all = repository().write({
      "protocols/wrist.limb": looser(wrist()),
      "protocols/hand.limb": `${cleanProtocol("hand", "../formulary.limb")}\n`,
    });
    const out = all.git("diff");
    expect(out).toContain("Compared `protocols/hand.limb` before with `protocols/hand.limb` now");
    expect(out).toContain("looser  dose `local`");
    expect(out.indexOf("hand.limb")).toBeLessThan(out.indexOf("wrist.limb"));
  });

  test("says what Git does not give, and then never that there is no change", { timeout: LONG }, () => {
    const out = repository()
      .write({ "protocols/hand.limb": `${cleanProtocol("hand", "../formulary.limb")}\n` })
      .git("diff");
    expect(out.replace(/\s+/g, " ")).toContain(
      "what it uses (formulary.limb) was read as it is in the work tree, for either version",
    );
    expect(out).toContain("Not decided: not everything could be compared or decided.");
    expect(out).not.toContain("No change:");
  });

  test("tells added, deleted and renamed files", { timeout: LONG }, () => {
    const all = repository().write({
      "protocols/wrist.limb": null,
      "protocols/hand.limb": null,
      "protocols/new hand.limb": looser(cleanProtocol("hand", "../formulary.limb")),
      "protocols/foot.limb": cleanProtocol("foot", "../formulary.limb").replaceAll("2027", "2028"),
    });
    all.git("add", "--all");
    const out = all.git("diff", "--cached", "--find-renames=70%", "--diff-filter=R");
    expect(out).toContain("looser  dose `local`");
    const others = all.git(
      "diff",
      "--cached",
      "--no-renames",
      "--",
      "protocols/wrist.limb",
      "protocols/foot.limb",
    );
    expect(others).toContain("It is gone: no later protocol has its name");
    expect(others).toContain("It is new, and was compared with nothing");
  });

  test("tells of a shared file where its changes are seen", { timeout: LONG }, () => {
    const out = repository()
      .write({ "formulary.limb": `${FORMULARY}\n` })
      .git("diff");
    expect(out).toContain("`formulary.limb` now: it declares no protocol.");
    expect(out).toContain("limb compare REV: .");
  });
});

describe("the driver", () => {
  test("ends with 0 also where a file cannot be read, for Git would go no further", async () => {
    const all = repository();
    const given = [
      "protocols/wrist.limb",
      "/none.limb",
      "0",
      "100644",
      "protocols/wrist.limb",
      "0",
      "100644",
    ];
    const { code, out } = await runLimb(all.folder, ["compare", "--diff-driver", ...given]);
    expect(out).toContain("protocols/wrist.limb: not compared. protocols/wrist.limb does not exist.");
    expect(code).toBe(0);
  });

  test("says of a file that is not merged that there are no two versions", async () => {
    const { code, out } = await runLimb(repository().folder, ["compare", "--diff-driver", "wrist.limb"]);
    expect(out).toContain("wrist.limb is not merged yet");
    expect(code).toBe(0);
  });
});

describe("the check of a merge", () => {
  const check = (all: GitRepository) => {
    try {
      const out = execFileSync(process.execPath, [LIMB, "compare", "main:", ".", "--markdown"], {
        cwd: all.folder,
        encoding: "utf8",
      });
      return { code: 0, out };
    } catch (error) {
      const { status, stdout } = error as { status: number; stdout: string };
      return { code: status, out: stdout };
    }
  };

  test("stops a looser dose until the first number is raised", { timeout: LONG }, () => {
    const all = repository();
    all.git("checkout", "--quiet", "-b", "stronger");
    all.write({ "protocols/wrist.limb": looser(wrist()) }).commit("stronger");
    const first = check(all);
    expect(first.code).toBe(1);
    expect(first.out).toContain("### Looser");
    all.write({ "protocols/wrist.limb": replaced(looser(wrist()), "0.1.0", "1.0.0") }).commit("raised");
    expect(check(all).code).toBe(0);
  });
});
