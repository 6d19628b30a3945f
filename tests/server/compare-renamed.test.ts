import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { GitRepository } from "./git-repository.ts";
import { cleanProtocol, FORMULARY, replaced, swappedProtocol } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const looser = (text: string) =>
  replaced(text, "amount 3 mg/kg up to 200 mg", "amount 3.5 mg/kg up to 200 mg");
const inReview = (text: string) => replaced(text, "status    draft", "status    in-review");

/** Protocols that nobody would take for one another. */
const hand = () => replaced(cleanProtocol("hand"), "Wrist", "Hand surgery");
const THUMB = 'protocol thumb "Thumb" {\n  version 1.0.0\n  status draft\n}\n';

test("a protocol that is renamed with its file in a folder of several is no way around the version", async () => {
  const folder = folderWith({
    "old/formulary.limb": FORMULARY,
    "old/hand.limb": hand(),
    "old/wrist.limb": swappedProtocol(),
    "old/thumb.limb": THUMB,
    "new/formulary.limb": FORMULARY,
    "new/hand.limb": hand(),
    "new/block.limb": looser(swappedProtocol("block")),
  });
  const { code, out } = await runLimb(folder, ["compare", "old", "new"]);
  expect(out).toContain("Before: wrist 0.1.0, draft");
  expect(out).toContain("Now:    block 0.1.0, draft");
  expect(out).toContain("looser  dose `local`");
  expect(out.replace(/\s+/g, " ")).toContain("The protocol is called `block` now; before, `wrist`.");
  expect(out).toContain("It is gone: no later protocol has its name or says nearly the same.");
  expect(code).toBe(1);
  const back = await runLimb(folder, ["compare", "new", "old"]);
  expect(back.out.replace(/\s+/g, " ")).toContain(
    "It is new, and was compared with nothing: no earlier protocol has its name or says nearly the same.",
  );
});

test("a check against a revision finds the earlier version under its other name, if it is gone", async () => {
  const repository = new GitRepository({
    "formulary.limb": FORMULARY,
    "wrist.limb": inReview(cleanProtocol()),
  });
  const { folder } = repository.write({
    "wrist.limb": null,
    "block.limb": inReview(looser(cleanProtocol("block"))),
  });
  const check = () => runLimb(folder, ["check", "block.limb", "--against", "HEAD:"]);
  expect((await check()).out).toContain("version-not-raised");
  // It is another protocol where the earlier one is still there.
  writeFileSync(join(folder, "wrist.limb"), inReview(cleanProtocol()));
  expect((await check()).out).not.toContain("version-not-raised");
});
