import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { CAUTION } from "@limbwright/shared/text";
import type { AxeResults } from "axe-core";
import { afterAll, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { exampleRuleFile, RehearsalPage, textOf } from "./rehearsal-page.ts";

// What WCAG 2 asks of a page, as axe-core knows it.
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const TITLE = "Wrist fracture reduction under IVRA";
const SCRIPT = "</script><script>alert(1)</script><img src=x onerror=alert(2)>";

let rehearsal: RehearsalPage;
beforeAll(async () => {
  const wrist = exampleRuleFile("wrist-reduction");
  const hostile = exampleRuleFile("wrist-reduction", (text) =>
    text.replace(`"${TITLE}"`, `"${SCRIPT}"`).replace('"Reduce and splint"', `"${SCRIPT}"`),
  );
  rehearsal = await RehearsalPage.open([wrist, hostile]);
}, 240_000);
afterAll(() => rehearsal.close(), 60_000);
beforeEach(async () => {
  await rehearsal.afresh();
});

async function begin(title = TITLE): Promise<void> {
  await rehearsal.press(title);
  await rehearsal.enterPatient();
  await rehearsal.press("Begin the rehearsal");
}

test("it says on every page that it is not for use on a patient, with the usual caution, and asks for nothing", async () => {
  const { page } = rehearsal;
  const isMarked = async () => {
    await page.mouse.wheel(0, 4000);
    expect(await page.getByText("Rehearsal. Not for use on a patient.").isVisible()).toBe(true);
    const box = await page.locator(".mark").boundingBox();
    expect(box?.y).toBe(0);
    expect(await textOf(page.locator("footer"))).toBe(CAUTION);
  };
  await isMarked();
  await rehearsal.press(TITLE);
  await isMarked();
  await rehearsal.enterPatient();
  await rehearsal.press("Begin the rehearsal");
  await isMarked();
  expect(await page.getByRole("heading", { name: TITLE }).isVisible()).toBe(true);
  expect(rehearsal.heard).toEqual([]);
});

test("it says why nobody may follow the file on a patient, before it is rehearsed all the same", async () => {
  await rehearsal.press(TITLE);
  expect(await textOf(rehearsal.page.locator("main"))).toContain(
    "nobody may follow it on a patient:Nobody has approved the protocol: it is a draft.",
  );
});

describe("a patient is refused", () => {
  test("outside the box, and with a contraindication unanswered, each in the runtime's words", async () => {
    const { page } = rehearsal;
    await rehearsal.press(TITLE);
    await rehearsal.enterPatient();
    await page.getByLabel(/^Age in/).fill("12");
    await page.getByLabel(/^Body weight/).fill("");
    await rehearsal.press("Begin the rehearsal");
    const refusal = await textOf(page.getByRole("alert"));
    expect(refusal).toContain("The rehearsal does not begin:");
    expect(refusal).toContain("The patient's age is 12 years; the protocol is for 16 to 85 years.");
    expect(refusal).toContain("The patient's body weight is not known");
  });

  test("as long as nothing is answered, and when an answer is yes", async () => {
    const { page } = rehearsal;
    await rehearsal.press(TITLE);
    await rehearsal.press("Begin the rehearsal");
    const open = await textOf(page.getByRole("alert"));
    expect(open).toContain(
      "It was not said whether this contraindication is there: Sickle cell disease or trait.",
    );
    await rehearsal.enterPatient();
    await page.getByRole("radiogroup", { name: "Sickle cell disease or trait" }).getByLabel("yes").check();
    await rehearsal.press("Begin the rehearsal");
    expect(await textOf(page.getByRole("alert"))).toContain(
      "The patient has what the protocol names as a contraindication: Sickle cell disease or trait.",
    );
  });
});

describe("in a rehearsal", () => {
  const PAUSE = 'task "Patient, limb, drug and dose read aloud"';
  const LINE = 'task "In the blocked limb; nothing else is connected"';
  const DECISION = 'task "Will it end in time? If not, another anaesthetic"';
  const FIRST = [
    ...["apply cuffs", PAUSE, `${PAUSE}: done`, "insert cannula"],
    ...["exsanguinate by elevation", "1 min on", "exsanguinate by bandage"],
    ...["inflate distal", "confirm distal", "inflate proximal", "confirm proximal", "deflate distal"],
    ...["remove bandage", "confirm no pulse", LINE, `${LINE}: done`],
  ];

  test("doses and pressure are the patient's, and what is done is told with its time", async () => {
    await begin();
    const { page } = rehearsal;
    expect(await textOf(page.locator(".cast"))).toContain("local: lidocaine, 36 mL (180 mg).");
    expect(await textOf(page.locator(".cast"))).toContain("Cuff pressure: 250 mmHg.");
    for (const words of FIRST) await rehearsal.press(words);
    await rehearsal.press("inject local: lidocaine, 36 mL (180 mg)");
    expect(await rehearsal.under("What was done")).toMatch(/0:00\s+exsanguinate by elevation, until 1:00/);
    expect(await rehearsal.under("Now, at 1:00")).toContain("In hand: inject local.");
  });

  test("an early release is refused with its rule and the time, and is taken at that time", async () => {
    await begin();
    const { page } = rehearsal;
    for (const words of FIRST) await rehearsal.press(words);
    await rehearsal.press(/^inject local/);
    for (const words of ["1 min on", "1 min on", "remove cannula", "wait 5 min", "5 min on"])
      await rehearsal.press(words);
    await rehearsal.press('task "Reduce and splint"');
    await page.getByLabel("The team starts").selectOption("deflate all for 10 s");
    await rehearsal.press("Say so");
    expect(await rehearsal.answer()).toContain("would break early-release");
    expect(await rehearsal.answer()).toContain("It is allowed from 33:00.");
    await rehearsal.press("Wait until 33:00");
    await rehearsal.press('task "Reduce and splint": done');
    await page.getByLabel("The team starts").selectOption("deflate all for 10 s");
    await rehearsal.press("Say so");
    expect(await rehearsal.answer()).toContain("Taken at 33:00: deflate all for 10 s.");
  });

  test("what is due is told, what acts by itself does, and an emergency ends it", async () => {
    await begin();
    for (const words of FIRST) await rehearsal.press(words);
    await rehearsal.press(/^inject local/);
    for (const words of ["1 min on", "1 min on", "remove cannula", "wait 5 min", "5 min on"])
      await rehearsal.press(words);
    await rehearsal.press('task "Reduce and splint"');
    expect(await rehearsal.under("Now, at 8:00")).toContain("At 38:00 by itself: hold reaches 35 min.");
    for (let count = 0; count < 6; count += 1) await rehearsal.press("5 min on");
    for (const words of [DECISION, `${DECISION}: done`]) await rehearsal.press(words);
    for (let count = 0; count < 2; count += 1) await rehearsal.press("5 min on");
    expect(await rehearsal.under("What was done")).toContain("By itself: hold reaches 45 min");
    await rehearsal.press("deflate all for 10 s");
    await rehearsal.press("toxicity signs");
    expect(await rehearsal.under("What can come next")).toContain("Stop. Call for help.");
  });

  test("what comes late is taken, and said to be late", async () => {
    await begin();
    await rehearsal.press("apply cuffs");
    for (const words of ["1 min on", "1 min on"]) await rehearsal.press(words);
    expect(await rehearsal.under("Now, at 2:00")).toContain("Overdue since 1:15: apply cuffs.");
    await rehearsal.press(PAUSE);
    expect(await rehearsal.answer()).toContain("It comes 0:45 late.");
  });

  test("everything can be done by the keyboard alone", async () => {
    const { page } = rehearsal;
    const focused = () => page.evaluate("document.activeElement.textContent") as Promise<string>;
    const reach = async (words: string) => {
      for (let count = 0; count < 60 && (await focused()) !== words; count += 1)
        await page.keyboard.press("Tab");
      expect(await focused()).toBe(words);
    };
    await reach(TITLE);
    await page.keyboard.press("Enter");
    for (const value of ["60", "40", "130", "30"]) {
      await page.keyboard.press("Tab");
      await page.keyboard.type(value);
    }
    for (let count = 0; count < 4; count += 1) {
      await page.keyboard.press("Tab");
      await page.keyboard.press("Space");
    }
    await reach("Begin the rehearsal");
    await page.keyboard.press("Enter");
    await reach("apply cuffs");
    await page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
    expect(await rehearsal.answer()).toContain("Taken at 0:00: apply cuffs.");
  });
});

describe("a rule file of one's own", () => {
  const choose = (text: string) =>
    rehearsal.page.getByLabel(/^Or a rule file of your own/).setInputFiles({
      name: "own.json",
      mimeType: "application/json",
      buffer: Buffer.from(text),
    });

  test("is rehearsed", async () => {
    await choose(exampleRuleFile("finger-suture"));
    await rehearsal.page.getByRole("heading", { name: /Finger suture/ }).waitFor();
    await rehearsal.enterPatient();
    await rehearsal.press("Begin the rehearsal");
    expect(await textOf(rehearsal.page.locator(".cast"))).toContain("finger-suture 2.0.1");
  });

  test("is refused with the reason where it is none", async () => {
    await choose('{ "format": 1 }');
    await rehearsal.page
      .getByRole("alert")
      .filter({ hasText: "no rule file that can be followed" })
      .waitFor();
    expect(await rehearsal.page.getByRole("button", { name: TITLE }).isVisible()).toBe(true);
  });
});

test("no text of a protocol is ever markup, and no script but the page's own could run", async () => {
  const { page } = rehearsal;
  await begin(SCRIPT);
  expect(await textOf(page.getByRole("heading", { level: 1 }))).toBe(SCRIPT);
  expect(await page.locator("img").count()).toBe(0);
  expect(await page.locator("main script").count()).toBe(0);
  expect(rehearsal.heard).toEqual([]);
  await page.evaluate("document.body.insertAdjacentHTML('beforeend', '<img src=x onerror=alert(3)>')");
  await page.evaluate(
    "document.body.append(Object.assign(document.createElement('script'), { text: 'alert(4)' }))",
  );
  await expect.poll(() => rehearsal.heard.join("\n")).toContain("Content Security Policy");
  expect(rehearsal.heard.join()).not.toContain("dialog");
});

describe.each(["light", "dark"] as const)("in the %s scheme", (colorScheme) => {
  test("no page has a fault that axe-core knows", async () => {
    const { page } = rehearsal;
    await page.emulateMedia({ colorScheme });
    const faults = async () => {
      await page.evaluate(AXE);
      const { violations, passes } = (await page.evaluate("axe.run()")) as AxeResults;
      expect(passes.length).toBeGreaterThan(15);
      return violations.map(({ id, nodes }) => `${id}: ${nodes[0]?.html}`);
    };
    expect(await faults()).toEqual([]);
    await rehearsal.press(TITLE);
    await rehearsal.press("Begin the rehearsal");
    expect(await faults()).toEqual([]);
    await rehearsal.enterPatient();
    await rehearsal.press("Begin the rehearsal");
    await rehearsal.press("apply cuffs");
    await rehearsal.press("Say so");
    expect(await faults()).toEqual([]);
  });
});
