import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, compareSites, Site } from "@limbwright/language";

/** Edits as a lead makes them between two versions: an amount, a time, a step, a text. */
const EDITS: readonly (readonly [from: string, to: string])[] = [
  ["under 60 kg   20 mL", "under 60 kg   21 mL"],
  ["at least 30 min", "at least 35 min"],
  ["wait 8 min", "wait 9 min"],
  ["    confirm no pulse\n", ""],
  ["A cuff that is up stays up.", "Leave a cuff that is up."],
];

/** With these a protocol of the example hospital has 150 lines. */
const MORE_RULES = `  require "Look twice at the bandage" {
    never bandage on and drug in limb
  }
  require "No long wait before the drug" {
    inject local within 20 min of inflate upper
  }
  // The longest protocol of the hospital, written out.

`;

const ON = "2026-11-27";

/** Two versions of many protocols, to be checked one after the other, and to be compared. */
export function versions(hospital: string, count: number) {
  const protocol = readFileSync(join(hospital, "protocols/hand-laceration.limb"), "utf8").replace(
    "  steps {",
    `${MORE_RULES}  steps {`,
  );
  const files = Array.from({ length: count }, (_, at) => `protocols/hand-${at}.limb`);
  const texts = new Map(
    files.map((file, at) => [file, protocol.replace("hand-laceration", `hand-laceration-${at}`)]),
  );
  const edited = new Map(
    files.map((file, at) => {
      const [from, to] = EDITS[at % EDITS.length] ?? ["", ""];
      return [file, (texts.get(file) ?? "").replace(from, to)];
    }),
  );
  const site = (own: ReadonlyMap<string, string>) =>
    new Site((file) => own.get(file) ?? shared(hospital, file));
  return {
    lines: protocol.split("\n").length,
    check: () =>
      [texts, edited].reduce((sum, own) => sum + counted(checkFiles(site(own), files, { on: ON })), 0),
    compare: () => {
      const side = (own: ReadonlyMap<string, string>, name: string) => ({ site: site(own), files, name });
      return counted(compareSites(side(texts, "before"), side(edited, "now"), { on: ON }));
    },
  };
}

/** Gone through as the command line does, which keeps none of them. */
function counted(all: Iterable<unknown>): number {
  let count = 0;
  for (const _ of all) count += 1;
  return count;
}

function shared(hospital: string, file: string): string | undefined {
  try {
    return readFileSync(join(hospital, file), "utf8");
  } catch {
    return undefined;
  }
}
