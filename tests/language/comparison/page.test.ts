import { createHash } from "node:crypto";
import { comparisonPage, comparisonSection } from "@limbwright/language";
import { DOMParser } from "@xmldom/xmldom";
import { describe, expect, test } from "vitest";
import { comparedSides, replacing, WRIST } from "./compared-sides.ts";
import { LOOSER, reportOf, UNCHANGED, UNDECIDED, WHOLE } from "./written-comparisons.ts";

const EVIL = "</title><script>alert(1)</script>";

/** The page of a real comparison: another dose, an earlier release, a hostile title and a hostile caution. */
function realPage(): string {
  const now = replacing(WRIST, [
    ["amount 3 mg/kg up to 200 mg", "amount 3.5 mg/kg up to 190 mg"],
    ["at least 30 min", "at least 22 min"],
    ["Wrist fracture reduction under IVRA", EVIL],
    ["Raynaud's disease", `Raynaud ${EVIL}`],
  ]);
  const compared = comparedSides(WRIST, now);
  return comparisonPage(reportOf([compared.comparison]), [comparisonSection(compared, 1)]);
}

const page = realPage();

describe("the page of a comparison", () => {
  test("is well-formed, and no text of a protocol is markup in it", () => {
    const faults: string[] = [];
    const parsed = new DOMParser({ onError: (_, message) => faults.push(message) }).parseFromString(
      page.replace("<!doctype html>", "").replace(/<(meta[^>]*)>/g, "<$1/>"),
      "text/xml",
    );
    expect(faults).toEqual([]);
    expect(parsed.getElementsByTagName("script")).toHaveLength(0);
    expect([...parsed.getElementsByTagName("h2")].map((one) => one.textContent)).toEqual([EVIL]);
    expect(page).toContain("Raynaud &lt;/title&gt;&lt;script&gt;alert(1)&lt;/script&gt;");
  });

  // W3C Content Security Policy Level 3: the digest of the style, reckoned by Node.
  test("lets its one style through by its digest, and nothing else", () => {
    const [, style = ""] = /<style>(.*?)<\/style>/s.exec(page) ?? [];
    const digest = createHash("sha256").update(style).digest("base64");
    expect(style.length).toBeGreaterThan(500);
    expect(page).toContain(
      `content="default-src &#39;none&#39;; style-src &#39;sha256-${digest}&#39;; base-uri &#39;none&#39;; form-action &#39;none&#39;"`,
    );
    expect(page).not.toMatch(/ style=| on\w+=|<script|<link|<img|src=|href=/);
  });

  test("shows the doses over each other and both runs of either version on one scale", () => {
    expect(page.match(/class="picture dose-comparison"/g)).toHaveLength(1);
    const runs = [...page.matchAll(/<svg[^>]*class="picture run".*?<\/svg>/gs)].map(([svg]) => svg);
    expect(runs).toHaveLength(4);
    const ticks = runs.map((svg) =>
      [...svg.matchAll(/class="number" x="([\d.]+)"/g)].map(([, x]) => x).join(" "),
    );
    expect(new Set(ticks).size).toBe(1);
    for (const words of ["Before: the earliest release", "Now: the earliest release"])
      expect(page).toContain(words);
  });

  test("puts both versions side by side, with the lines they stand in", () => {
    expect(page).toContain(">3 mg/kg up to 200 mg<");
    expect(page).toContain(">3.5 mg/kg up to 190 mg<");
    expect(page).toMatch(/data-file="protocols\/wrist-reduction.limb" data-line="34"/);
  });

  test("carries the caution, and looks on dark screens and on paper as they ask", () => {
    expect(page).toContain("It is not a medical device and judges no patient");
    expect(page).toMatch(/color-scheme:light dark.*@media print\{:root\{color-scheme:light\}/);
  });
});

describe("the page of several protocols", () => {
  const several = comparisonPage(
    WHOLE,
    WHOLE.comparison.protocols.map((comparison, at) => comparisonSection({ comparison }, at)),
  );

  test("names those without a change, and tells each of the others", () => {
    expect(several).toContain("No change in 1 protocol, compared in everything: hand.");
    expect(several.match(/<section>/g)).toHaveLength(4);
  });

  test("says what could not be compared, and never calls that unchanged", () => {
    const one = comparisonPage(reportOf([UNDECIDED]), [comparisonSection({ comparison: UNDECIDED }, 1)]);
    expect(one).toContain("Not decided: not everything could be compared or decided.");
    expect(one).not.toContain("No change");
    expect(several).toContain("<code>old.limb</code> is not UTF-8.");
  });

  test("tells one that is the same where it is the only one", () => {
    const one = comparisonPage(reportOf([UNCHANGED]), [comparisonSection({ comparison: UNCHANGED }, 1)]);
    expect(one).toContain("No change: everything was compared");
  });

  test("tells the run that is gained with its lines", () => {
    const one = comparisonPage(reportOf([LOOSER]), [comparisonSection({ comparison: LOOSER }, 1)]);
    expect(one).toContain("A run that is allowed now and was not before");
    expect(one).toContain("task &lt;b&gt;splint&lt;/b&gt;");
  });
});
