import { Site, sheetPage, sheetsOf } from "@limbwright/language";
import { PREVIEW, type PreviewAsked, type PreviewModel } from "@limbwright/shared/editor";
import { DOMParser } from "@xmldom/xmldom";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { type Client, serverForAll } from "./client.ts";

const startClient = serverForAll();

const HOSPITAL = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const FILE = "drafts/one.limb";
const WRIST = textOf("protocols/wrist-reduction.limb") ?? "";
const EARLY = textOf("flawed/let-down-early.limb") ?? "";
const START = { line: 0, character: 0 };

async function opened(text: string, files: Readonly<Record<string, string>> = {}): Promise<Client> {
  const client = await startClient({ ...HOSPITAL, ...files });
  await client.open(FILE, text);
  await client.settled();
  return client;
}

function preview(client: Client, asked: Partial<PreviewAsked> = {}): Promise<PreviewModel> {
  return client.connection.sendRequest(PREVIEW, { uri: client.uriOf(FILE), position: START, ...asked });
}

/** The line of a text on which some words stand, from 1. */
function lineOf(text: string, words: string): number {
  return text.slice(0, text.indexOf(words)).split("\n").length;
}

describe("a protocol that holds", () => {
  test("is shown with the earliest and the latest run, the dose curve and the sheet", async () => {
    const model = await preview(await opened(WRIST));
    expect(model.state).toBe("holds");
    expect(model.findings).toEqual([]);
    expect(model.runs.shown?.map(({ kind, title }) => [kind, title])).toEqual([
      ["earliest", "The earliest release"],
      ["latest", "The latest release"],
    ]);
    expect(model.curves.shown?.map(({ title }) => title)).toEqual(["local: lidocaine over weight"]);
    expect(model.sheet.shown?.html).toContain("Wrist fracture reduction under IVRA");
    expect(model.timesSay).toContain("release 30:00 to under 46:00");
  });

  test("says whose work has to be done in time for that", async () => {
    const { timesSay } = await preview(await opened(textOf("protocols/hand-laceration.limb") ?? ""));
    expect(timesSay).toContain('Leans on: "Find the leak; change the cuff" never takes more than 5 min.');
  });

  test("has the sheet that is written of it, word for word", async () => {
    const { sheet } = await preview(await opened(WRIST));
    const site = new Site((file) => (file === FILE ? WRIST : textOf(file)));
    const [written] = sheetsOf(site, FILE, { on: new Date().toISOString().slice(0, 10) }) ?? [];
    expect(written?.kind === "written" && sheetPage(written.sheet)).toContain(sheet.shown?.html);
  });

  test("has marks that lead to lines of files whose URIs are told", async () => {
    const client = await opened(WRIST);
    const { runs, curves, sheet, files } = await preview(client);
    const inject = `data-file="${FILE}" data-line="${lineOf(WRIST, "inject local")}"`;
    expect(runs.shown?.[0]?.svg).toContain(inject);
    expect(sheet.shown?.html).toContain(inject);
    expect(curves.shown?.[0]?.svg).toContain(`data-line="${lineOf(WRIST, "amount 3 mg/kg")}"`);
    expect(files[FILE]).toBe(client.uriOf(FILE));
    expect(files["routines.limb"]).toBe(client.uriOf("routines.limb"));
  });
});

describe("a run that breaks a rule", () => {
  test("is drawn for its finding, and the sheet is a draft", async () => {
    const model = await preview(await opened(EARLY));
    expect(model.state).toBe("broken");
    const finding = model.findings.find(({ rule }) => rule === "early-release");
    expect(finding).toMatchObject({ severity: "unsafe", place: { file: FILE }, isStale: false });
    const run = model.runs.shown?.find(({ id }) => id === finding?.run);
    expect(run).toMatchObject({ kind: "breaks-a-rule", isStale: false });
    expect(run?.svg).toContain(`data-line="${finding?.place.line}"`);
    expect(run?.lines.at(-1)).toMatchObject({ time: "12:30", place: finding?.place });
    expect(model.sheet.because).toContain("unsafe findings stand");
    expect(model.sheet.shown?.html).toContain("Draft – not for use");
  });
});

test("where runs are followed only up to what a rule found, the earliest and the latest are not decided", async () => {
  const { runs } = await preview(await opened(textOf("flawed/swap-the-wrong-way.limb") ?? ""));
  expect(runs.because).toContain("Not decided");
  expect(runs.shown?.map(({ kind }) => kind)).not.toContain("earliest");
});

describe("what is not decided", () => {
  test("is no pass: the state says so, and a verdict with its limit is there", async () => {
    const model = await preview(await opened(textOf("flawed/wrong-drug.limb") ?? ""));
    expect(model.state).not.toBe("holds");
    const undecided = model.verdicts.filter(({ kind }) => kind === "not-decided");
    expect(undecided.length).toBeGreaterThan(0);
  });

  test("a text with an error has no sheet, and says why", async () => {
    const model = await preview(await opened(WRIST.replace("wait for hold", "wait for nothing")));
    expect(model.state).toBe("broken");
    expect(model.sheet).toEqual({ because: expect.stringContaining("there are errors") });
    expect(model.findings[0]).toMatchObject({ severity: "error" });
  });

  test("an error in a file that it uses is told, with its place there", async () => {
    const formulary = (HOSPITAL["formulary.limb"] ?? "").replace("maximum", "maximumm");
    const model = await preview(await opened(WRIST, { "formulary.limb": formulary }));
    expect(model.findings.map(({ severity, place }) => [severity, place.file])).toContainEqual([
      "error",
      "formulary.limb",
    ]);
  });
});

describe("while the runs are gone through again", () => {
  test("the state is stale, runs and sheet are missing, and figures are those of the text as it stands", async () => {
    const client = await opened(WRIST);
    await client.change(FILE, { text: WRIST.replace("3 mg/kg up to 200 mg", "2 mg/kg up to 200 mg") });
    const model = await preview(client, { patient: { weight: "60", age: "40", systolic: "130" } });
    expect(model.state).toBe("stale");
    expect(model.sheet.shown).toBeUndefined();
    expect(model.runs.shown).toBeUndefined();
    expect(model.timesSay).toBeUndefined();
    expect(figuresOf(model, "local")).toMatchObject({ "which is": "120 mg" });
    await client.settled();
    expect((await preview(client)).sheet.shown).toBeDefined();
  });

  test("a run that was found before is marked", async () => {
    const client = await opened(EARLY);
    await client.change(FILE, { text: `// a comment\n${EARLY}` });
    const model = await preview(client);
    expect(model.state).toBe("stale");
    expect(model.runs.shown?.map(({ kind, isStale }) => [kind, isStale])).toEqual([["breaks-a-rule", true]]);
  });
});

function figuresOf({ patient }: PreviewModel, name: string): Record<string, string> {
  const row = patient.rows.find((one) => one.name === name);
  return Object.fromEntries((row?.figures ?? []).map(({ label, text }) => [label, text]));
}

describe("the figures for a patient", () => {
  test("are those of the dose table, worked out by hand", async () => {
    const client = await opened(WRIST);
    const model = await preview(client, { patient: { weight: "61", age: "40", systolic: "160" } });
    expect(model.patient.amiss).toBeUndefined();
    // 3 mg/kg of 61 kg are 183 mg, 36.6 mL of 5 mg/mL; drawn up to the mL below: 36 mL, 180 mg, 2.951 mg/kg of 4 mg/kg.
    expect(figuresOf(model, "local")).toEqual({
      "draw up": "36 mL",
      "which is": "180 mg",
      syringe: "none named: down to a whole mL",
      "per weight": "2.96 mg/kg",
      "of the nearest maximum": "73.78 %",
    });
    // 160 + 100 mmHg is more than 250 mmHg.
    expect(figuresOf(model, "cuff pressure")).toEqual({ "inflate to": "260 mmHg" });
    // 1.5 mL/kg of 61 kg are 91.5 mL.
    expect(figuresOf(model, "lipid-bolus")).toMatchObject({ "draw up": "91 mL" });
  });

  test("are drawn up by the marks of the syringe that the dose names", async () => {
    const text = WRIST.replace("up to 200 mg", "up to 200 mg\n    syringe 50 mL marked every 0.5 mL");
    const asked = { patient: { weight: "61" } };
    const figures = figuresOf(await preview(await opened(text), asked), "local");
    expect(figures).toMatchObject({ "draw up": "36.5 mL", syringe: "50 mL, marked every 0.5 mL" });
  });

  test("are not guessed where a measure is missing", async () => {
    const model = await preview(await opened(WRIST), { patient: { weight: "61" } });
    expect(model.patient.amiss).toContain("not typed: whether the protocol covers this patient is not known");
    const pressure = model.patient.rows.find(({ name }) => name === "cuff pressure");
    expect(pressure).toMatchObject({ figures: [], because: "Needs the systolic pressure." });
  });

  test("are none for a patient whom the protocol does not cover", async () => {
    const model = await preview(await opened(WRIST), { patient: { weight: "44.9", age: "40" } });
    expect(model.patient.rows).toEqual([]);
    expect(model.patient.amiss).toContain(
      "A weight of 44.9 kg is not covered: this protocol is for 45 to 130 kg.",
    );
  });

  test("what is no number is no weight", async () => {
    const client = await opened(WRIST);
    for (const weight of ["70,5", "1e2", "-70", "seventy", "7".repeat(400), "0x40", " "]) {
      const { patient } = await preview(client, { patient: { weight } });
      const figured = patient.rows.filter(({ name, figures }) => name === "local" && figures.length > 0);
      expect([weight, figured]).toEqual([weight, []]);
      expect(patient.amiss).toMatch(/no number|not typed/);
    }
  });

  test("a dose over its maximum is said to be", async () => {
    const text = WRIST.replace("3 mg/kg up to 200 mg", "40 mL");
    const model = await preview(await opened(text), { patient: { weight: "45", age: "40" } });
    expect(model.patient.rows.find(({ name }) => name === "local")).toMatchObject({ isOver: true });
  });
});

describe("a hostile title", () => {
  const TITLE = "<script>alert(1)</script>";

  test("stays a text in every picture and on the sheet", async () => {
    const text = WRIST.replace("Wrist fracture reduction under IVRA", TITLE).replace('"grey"', `"${TITLE}"`);
    const { title, sheet, runs, curves } = await preview(await opened(text));
    expect(title).toBe(TITLE);
    const markup = [
      sheet.shown?.html,
      ...[...(runs.shown ?? []), ...(curves.shown ?? [])].map(({ svg }) => svg),
    ];
    expect(markup).toHaveLength(4);
    for (const one of markup) expect(one).not.toContain("<script");
    expect(markup[0]).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
    for (const one of markup)
      expect(() => new DOMParser().parseFromString(one ?? "", "text/xml")).not.toThrow();
  });
});

test("a request that cannot be meant is refused", async () => {
  const client = await opened(WRIST);
  const uri = client.uriOf(FILE);
  for (const asked of [
    { position: START, patient: "heavy" },
    { position: START, patient: { weight: 70 } },
    { position: { line: -1, character: 0 } },
  ]) {
    const answer = client.connection.sendRequest(PREVIEW, { uri, ...asked });
    await expect(answer).rejects.toMatchObject({ code: -32602 });
  }
});

test("a text without a protocol has nothing to show", async () => {
  expect(await preview(await opened("// nothing yet\n"))).toBeNull();
});
