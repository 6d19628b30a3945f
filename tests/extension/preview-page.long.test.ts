import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import type { PreviewModel } from "@limbwright/shared/editor";
import type { AxeResults } from "axe-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { asksAll, firstSeed } from "../questions.ts";
import { example, PreviewPages, previewModels, THEMES } from "./preview-page.ts";

// What WCAG 2 asks of a page, as axe-core knows it.
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** Where pictures of the screen go, if anybody wants them. */
const PICTURES = process.env.LIMBWRIGHT_PICTURES;
const PATIENT = { weight: "61", age: "40", systolic: "160" };
const TEXTS: Readonly<Record<string, string>> = {
  holds: example("protocols/wrist-reduction.limb"),
  early: example("flawed/let-down-early.limb"),
  volume: example("flawed/fixed-volume.limb"),
};

const modelOf = previewModels();

let pages: PreviewPages;

beforeAll(async () => {
  if (PICTURES) mkdirSync(PICTURES, { recursive: true });
  pages = await PreviewPages.open();
}, 60_000);

afterAll(() => pages?.close());

/** In each theme one of the texts on each commit, another in each run, and every night all of them. */
function textsFor(theme: number): [string, string][] {
  const all = Object.entries(TEXTS);
  return asksAll() ? all : all.filter((_, at) => at === (firstSeed() + theme) % all.length);
}

describe.each(Object.entries(THEMES).map(([theme, colours], at) => [theme, colours, textsFor(at)] as const))(
  "in a %s theme",
  (theme, colours, texts) => {
    test.each(texts)("%s has no fault that axe-core knows", async (name, text) => {
      const model: PreviewModel = await modelOf(text, { patient: PATIENT });
      const preview = await pages.newPage();
      await preview.theme(colours);
      await preview.tell({ kind: "model", model });
      for (const [measure, typed] of Object.entries(PATIENT))
        await preview.page.fill(`#patient-${measure}`, typed);
      await preview.tell({ kind: "model", model });
      await preview.tell({ kind: "cursor", file: model.file, line: model.findings[0]?.place.line ?? 60 });
      for (const width of [620, 1280, 1920]) {
        await preview.page.setViewportSize({ width, height: 1000 });
        const picture = `preview-${name}-${theme.replaceAll(" ", "-")}-${width}.png`;
        if (PICTURES) await preview.page.screenshot({ path: join(PICTURES, picture), fullPage: true });
      }
      await preview.page.evaluate(AXE);
      const found = (await preview.page.evaluate("axe.run()")) as AxeResults;
      expect(found.violations.map(({ id, nodes }) => [id, nodes.map(({ html }) => html)])).toEqual([]);
      expect(found.passes.length).toBeGreaterThan(15);
      expect(preview.heard).toEqual([]);
      await preview.close();
    });
  },
);
