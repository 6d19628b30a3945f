import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { comparisonPage, comparisonSection } from "@limbwright/language";
import type { AxeResults } from "axe-core";
import { describe, expect, test } from "vitest";
import { comparedSides, replacing, WRIST } from "../language/comparison/compared-sides.ts";
import { reportOf } from "../language/comparison/written-comparisons.ts";
import { openBrowser } from "./open-browser.ts";
import { folderWith } from "./run-limb.ts";

// A real browser, and axe-core for what WCAG 2 asks of a page.
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

function pageText(): string {
  const compared = comparedSides(
    WRIST,
    replacing(WRIST, [
      ["amount 3 mg/kg up to 200 mg", "amount 3.5 mg/kg up to 190 mg"],
      ["at least 30 min", "at least 22 min"],
    ]),
  );
  return comparisonPage(reportOf([compared.comparison]), [comparisonSection(compared, 1)]);
}

describe.each(["light", "dark"] as const)("the page of a comparison on a %s screen", (colorScheme) => {
  async function opened(width: number) {
    const file = join(folderWith({ "page.html": "" }), "page.html");
    writeFileSync(file, pageText());
    const page = await (await openBrowser()).newPage({ colorScheme, viewport: { width, height: 900 } });
    const heard: string[] = [];
    page.on("console", (message) => heard.push(message.text()));
    page.on("request", (request) => {
      if (!request.url().startsWith("file:")) heard.push(request.url());
    });
    await page.goto(pathToFileURL(file).href);
    return { page, heard };
  }

  test("has no fault that axe-core knows, asks for nothing and says nothing", async () => {
    const { page, heard } = await opened(1000);
    expect(heard).toEqual([]);
    await page.evaluate(AXE);
    const found = (await page.evaluate("axe.run()")) as AxeResults;
    expect(found.violations.map(({ id, nodes }) => [id, nodes[0]?.html])).toEqual([]);
    expect(found.passes.length).toBeGreaterThan(15);
    await page.close();
  });

  test("fits the narrowest of phones", async () => {
    const { page } = await opened(360);
    expect(await page.evaluate("document.documentElement.scrollWidth")).toBeLessThanOrEqual(360);
    await page.close();
  });
});
