import type { PreviewModel } from "@limbwright/shared/editor";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { example, type PreviewPage, PreviewPages, previewModels, THEMES } from "./preview-page.ts";

const WRIST = example("protocols/wrist-reduction.limb");
const EARLY = example("flawed/let-down-early.limb");

const modelOf = previewModels();

let pages: PreviewPages;

beforeAll(async () => {
  pages = await PreviewPages.open();
}, 60_000);

afterAll(() => pages?.close());

async function shown(model: PreviewModel): Promise<PreviewPage> {
  const preview = await pages.newPage();
  await preview.tell({ kind: "model", model });
  return preview;
}

/** The same model as it is while the runs of a changed text are gone through. */
function stale(model: PreviewModel): PreviewModel {
  const { timesSay, ...rest } = model;
  const because = "The text as it stands is still being checked.";
  return {
    ...rest,
    state: "stale",
    words: "being checked",
    findings: [],
    runs: { because },
    sheet: { because },
  };
}

/** The line of a text on which some words stand, from 1. */
function lineOf(text: string, words: string): number {
  return text.slice(0, text.indexOf(words)).split("\n").length;
}

/** Runs in the page: how an element is shown. */
function styleOf(element: object, property: string): string {
  const here = globalThis as unknown as {
    getComputedStyle: (of: object) => { getPropertyValue(name: string): string };
  };
  return here.getComputedStyle(element).getPropertyValue(property);
}

const visible = (preview: PreviewPage, selector: string) => preview.page.locator(selector).isVisible();

test("the parts stand in their order, and nothing of ours is blocked", async () => {
  const preview = await shown(await modelOf(EARLY));
  expect(await preview.told("ready")).toEqual({ kind: "ready" });
  expect(await preview.page.locator("main > section > .section-head h2").allTextContents()).toEqual([
    "Findings",
    "Run",
    "Dose",
    "Sheet as it prints",
  ]);
  expect(await preview.page.textContent(".standing")).toBe("Broken: 1 unsafe, 1 not decided.");
  expect(await preview.page.textContent(".findings")).toContain("early-release");
  expect(await preview.page.textContent(".caution")).toContain("not a medical device");
  expect(await preview.page.locator(".paper .sheet").textContent()).toContain("Draft – not for use");
  // The sheet keeps its own style, and the page has its own.
  const paper = preview.page.locator(".paper .head-inner");
  expect(await paper.evaluate(styleOf, "border-bottom-style")).toBe("solid");
  expect(await preview.page.locator("#page > .head").evaluate(styleOf, "position")).toBe("sticky");
  expect(preview.heard).toEqual([]);
  await preview.close();
});

test("what is not decided is listed as no pass", async () => {
  const preview = await shown(await modelOf(EARLY));
  expect(await preview.page.textContent("#findings h3")).toBe("Not decided, which is not a pass: 1");
  await preview.close();
});

describe("a mark", () => {
  test("that is clicked tells its file and line, in a picture, a list and on the sheet", async () => {
    const preview = await shown(await modelOf(EARLY));
    const inject = lineOf(EARLY, "inject local");
    const file = "drafts/one.limb";
    await preview.page.click(`#run .picture rect.in-limb`);
    expect(await preview.told("open")).toEqual({ kind: "open", file, line: inject });
    await preview.page.click("#findings .place >> nth=0");
    expect(await preview.told("open")).toEqual({
      kind: "open",
      file,
      line: lineOf(EARLY, "deflate all for"),
    });
    await preview.page.click(".paper li.do >> nth=4");
    expect(await preview.told("open")).toEqual({
      kind: "open",
      file,
      line: lineOf(EARLY, "exsanguinate by bandage"),
    });
    await preview.close();
  });

  test("is reached by the arrow keys and opened by Enter", async () => {
    const preview = await shown(await modelOf(WRIST));
    const marks = preview.page.locator("#run .picture [data-line]");
    expect(await preview.page.locator('#run .picture [tabindex="0"]').count()).toBe(1);
    await marks.first().focus();
    await preview.page.keyboard.press("End");
    await preview.page.keyboard.press("ArrowLeft");
    await preview.page.keyboard.press("Enter");
    const count = await marks.count();
    const line = Number(await marks.nth(count - 2).getAttribute("data-line"));
    expect(await preview.told("open")).toMatchObject({ kind: "open", line });
    expect(await preview.page.locator('#run .picture [tabindex="0"]').count()).toBe(1);
    await preview.close();
  });

  test("of the cursor's line is lit and in view, in the pictures and on the sheet", async () => {
    const preview = await shown(await modelOf(WRIST));
    const line = lineOf(WRIST, "task oxygen");
    await preview.tell({ kind: "cursor", file: "drafts/one.limb", line });
    const lit = preview.page.locator(".lit");
    expect(await lit.allTextContents()).toEqual([expect.stringContaining("Oxygen, airway")]);
    const box = await lit.boundingBox();
    expect(box?.y).toBeGreaterThan(0);
    expect(box?.y).toBeLessThan(900);
    await preview.tell({ kind: "cursor", file: "drafts/one.limb", line: lineOf(WRIST, "inject local") });
    expect(await preview.page.locator("#run .picture .lit").count()).toBeGreaterThan(0);
    expect(await preview.page.locator(".paper li.lit").count()).toBe(1);
    await preview.tell({ kind: "cursor", file: "other.limb", line });
    expect(await lit.count()).toBe(0);
    await preview.close();
  });
});

describe("runs", () => {
  test("the run that breaks a rule comes first, and the others can be chosen", async () => {
    const preview = await shown(await modelOf(EARLY));
    expect(await preview.page.textContent("#run figcaption")).toContain("Breaks early-release");
    await preview.page.getByRole("radio", { name: "The latest release" }).check();
    expect(await preview.page.textContent("#run figcaption")).toBe("The latest release");
    await preview.page.click("text=Show the run");
    expect(await preview.page.textContent("#run figcaption")).toContain("Breaks early-release");
    await preview.close();
  });

  test("each is told in words too", async () => {
    const preview = await shown(await modelOf(EARLY));
    expect(await preview.page.textContent("#run table tbody tr:last-child")).toContain("drug released");
    await preview.close();
  });
});

describe("the line of a patient", () => {
  test("tells what is typed, shows the figures, and says what it is not for", async () => {
    const patient = { weight: "61", age: "40", systolic: "160" };
    const preview = await shown(await modelOf(WRIST));
    expect(await preview.page.textContent(".patient legend")).toMatch(/not for use on a patient/i);
    for (const [name, text] of Object.entries(patient)) await preview.page.fill(`#patient-${name}`, text);
    expect(await preview.told("patient")).toEqual({ kind: "patient", patient });
    await preview.tell({ kind: "model", model: await modelOf(WRIST, { patient }) });
    expect(await preview.page.textContent(".figures")).toContain("draw up 36 mL");
    expect(await preview.page.textContent(".figures")).toContain("inflate to 260 mmHg");
    expect(await preview.page.inputValue("#patient-weight")).toBe("61");
    await preview.close();
  });

  test("says who is not covered, and gives no figure", async () => {
    const patient = { weight: "30" };
    const preview = await shown(await modelOf(WRIST));
    await preview.page.fill("#patient-weight", "30");
    await preview.tell({ kind: "model", model: await modelOf(WRIST, { patient }) });
    expect(await preview.page.textContent(".amiss")).toContain("A weight of 30 kg is not covered");
    expect(await preview.page.locator(".figures table").count()).toBe(0);
    expect(await preview.page.getAttribute("#patient-weight", "aria-invalid")).toBe("true");
    await preview.close();
  });
});

describe("while the text is being checked again", () => {
  test("the last pictures stay, marked, until the new ones are there", async () => {
    const model = await modelOf(WRIST);
    const preview = await shown(model);
    const before = await preview.page.locator("#run .picture").elementHandle();
    await preview.tell({ kind: "changed" });
    await preview.tell({ kind: "model", model: stale(model) });
    expect(await preview.page.textContent(".standing")).toContain("Not known for the text as it stands");
    expect(await preview.page.textContent(".head")).not.toContain("Holds");
    expect(await visible(preview, "#run .picture")).toBe(true);
    expect(await visible(preview, "#run .section-head .old")).toBe(true);
    expect(await visible(preview, "#sheet .section-head .old")).toBe(true);
    expect(await preview.page.locator(".paper .sheet").textContent()).toContain(
      "Wrist fracture reduction under IVRA",
    );
    await preview.tell({ kind: "model", model });
    expect(await visible(preview, "#run .section-head .old")).toBe(false);
    expect(await visible(preview, "#sheet .section-head .old")).toBe(false);
    // The same picture all along: nothing flickers.
    const now = preview.page.locator("#run .picture");
    expect(await now.evaluate((one, other) => one === other, before)).toBe(true);
    await preview.close();
  });

  test("nothing is said to be found or not found", async () => {
    const preview = await shown(stale(await modelOf(WRIST)));
    expect(await preview.page.textContent("#findings")).not.toContain("Nothing found");
    await preview.close();
  });

  test("a text that is no protocol any more keeps its pictures, marked; another text does not", async () => {
    const model = await modelOf(WRIST);
    const preview = await shown(model);
    await preview.tell({ kind: "nothing", uri: model.uri, because: "There is no protocol in this text." });
    expect(await preview.page.textContent(".standing")).toBe("There is no protocol in this text.");
    expect(await visible(preview, "#run .section-head .old")).toBe(true);
    await preview.tell({
      kind: "nothing",
      uri: "file:///other.limb",
      because: "There is no protocol in this text.",
    });
    expect(await preview.page.locator(".picture").count()).toBe(0);
    await preview.close();
  });
});

describe("printed", () => {
  test("it is black on white in every theme, without what only a screen needs", async () => {
    const preview = await shown(await modelOf(EARLY));
    await preview.theme(THEMES.dark ?? {});
    await preview.page.emulateMedia({ media: "print" });
    for (const selector of ["nav", ".choice", ".show-run", ".hint", "#sheet > .section-head"]) {
      expect(await preview.page.locator(selector).count(), selector).toBeGreaterThan(0);
      expect(await visible(preview, `${selector} >> nth=0`), selector).toBe(false);
    }
    const body = preview.page.locator("body");
    expect(await body.evaluate(styleOf, "color")).toBe("rgb(0, 0, 0)");
    expect(await body.evaluate(styleOf, "background-color")).toBe("rgb(255, 255, 255)");
    await preview.close();
  });

  test("the sheet begins on a page of its own, with the caution on every one of its pages", async () => {
    const model = await modelOf(EARLY);
    const preview = await shown(model);
    const texts = (await preview.printed()).map((text) => text.replace(/\s/g, ""));
    const sheet = texts.findIndex((text) => text.includes("Draft–notforuse"));
    const before = texts.slice(0, sheet).join("");
    expect(sheet, texts.map((text) => text.slice(0, 60)).join(" | ")).toBeGreaterThan(0);
    expect(before).toContain("Broken:1unsafe,1notdecided.");
    expect(before).not.toMatch(/Sheetasitprints|Showtherun/);
    const caution = model.caution.replace(/\s/g, "");
    expect(texts.slice(sheet).filter((text) => !text.includes(caution))).toEqual([]);
    await preview.close();
  });
});

describe("hostile texts", () => {
  const TITLE = "<script>alert(1)</script><img src=x onerror=alert(2)>";

  test("stay texts everywhere", async () => {
    const text = EARLY.replace(/"Draft: [^"]*"/, `"${TITLE}"`).replace('"grey"', `"${TITLE}"`);
    const preview = await shown(await modelOf(text));
    expect(await preview.page.textContent("h1 >> nth=0")).toBe(TITLE);
    expect(await preview.page.locator("script").count()).toBe(1);
    expect(await preview.page.locator("img").count()).toBe(0);
    expect(preview.heard).toEqual([]);
    await preview.close();
  });

  test("markup that a picture never has is left out", async () => {
    const model = await modelOf(WRIST);
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" onload="alert(1)"><script>alert(2)</script><g onclick="alert(3)"/></svg>`;
    const html = `<p onclick="alert(4)">x<script>alert(5)</script><iframe src="/"></iframe></p>`;
    const preview = await shown({
      ...model,
      curves: { shown: [{ id: "curve", title: "A curve", svg }] },
      sheet: { shown: { html, style: "" } },
    });
    expect(await preview.page.locator("[onload], [onclick], iframe").count()).toBe(0);
    expect(await preview.page.locator("script").count()).toBe(1);
    expect(preview.heard).toEqual([]);
    await preview.close();
  });
});
