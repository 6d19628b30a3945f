import { Site, sheetPage, sheetsOf } from "@limbwright/language";
import { expect, test } from "vitest";
import { again, seeds } from "../questions.ts";
import { randomProtocol } from "./random-protocol.ts";

const SEEDS = seeds(150);

/** The elements of a page in the order in which they begin and end; `meta` has no end. */
function unclosed(html: string): string[] {
  const open: string[] = [];
  for (const [, end, name = ""] of html.slice(15).matchAll(/<(\/?)([a-z0-9]+)[^>]*>/gi)) {
    if (name === "meta") continue;
    if (end !== "/") open.push(name);
    else if (open.pop() !== name) return [`</${name}> too early`];
  }
  return open;
}

test("a sheet of any protocol is a whole page, or refused for a reason", () => {
  const kinds = new Map<string, number>();
  for (const seed of SEEDS) {
    const site = new Site((file) => (file === "a.limb" ? randomProtocol(seed) : undefined));
    for (const result of sheetsOf(site, "a.limb", { on: "2026-11-25", draft: true }) ?? []) {
      kinds.set(result.kind, (kinds.get(result.kind) ?? 0) + 1);
      if (result.kind === "refused") expect(result.because, again(seed)).toContain(":");
      else expect(unclosed(sheetPage(result.sheet)), again(seed)).toEqual([]);
    }
  }
  // Many have to come, or nothing was tested.
  expect(kinds.get("written") ?? 0).toBeGreaterThan(SEEDS.length / 10);
});
