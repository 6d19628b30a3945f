import { createHash } from "node:crypto";
import { checkFiles, compileFile, doseTablesOf, Site, sheetPage, sheetsOf } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { ON } from "../rule-file/compiled.ts";
import { readCsv } from "../table/read-csv.ts";
import { sheetFrom, WRIST, writtenFrom } from "./written-sheet.ts";

const GOLDEN = `${import.meta.dirname}/../../golden/sheet`;
const PROTOCOLS = filesIn("protocols");
const SHEETS = new Map(PROTOCOLS.map((file) => [file, writtenFrom(file)]));

/** Local rules that answer for nothing. */
function withoutAnswers(text: string | undefined): string | undefined {
  const without = text?.replace(/\n {2}answer maximum[^}]*/, "\n");
  if (without === text) throw new Error("there are no answers");
  return without;
}

/** The sheet of an example as it stands. */
function asItStands(file: string) {
  const written = SHEETS.get(file);
  if (!written) throw new Error(`${file} has no sheet`);
  return written;
}

test("the sheet of the standard example is the golden file", async () => {
  await expect(asItStands(WRIST).html).toMatchFileSnapshot(`${GOLDEN}/wrist-reduction.html`);
});

describe("the figures of a sheet are those of the dose table", () => {
  test.each(PROTOCOLS)("%s", (file) => {
    const { sheet } = asItStands(file);
    const [table] = doseTablesOf(new Site(textOf), file, { on: ON }) ?? [];
    if (table?.kind !== "written") throw new Error("no dose table");
    const [headings = [], ...records] = readCsv(table.csv).filter(([first]) => first !== "#");
    const rows = records.map((record) =>
      Object.fromEntries(headings.map((name, at) => [name, record[at] ?? ""])),
    );
    let compared = 0;
    for (const row of rows.filter((one) => one.For === "block")) {
      const shown = shownFor(
        sheet.doses.find(({ caption }) => caption.startsWith(`${row.Dose}:`)),
        row["Weight (kg)"],
      );
      expect(shown).toMatchObject({
        mL: row["Volume to draw up, down to a mark of the syringe (mL)"],
        mg: row["Dose drawn up (mg)"],
        "ampoule mL": row["Taken from ampoules (mL)"],
        "diluent mL": row["Diluent added (mL)"],
        "amp.": row["Ampoules opened"],
      });
      expect(betweenEnds(shown["mg/kg"], row["Dose drawn up (mg/kg, rounded up)"])).toBe(true);
      expect(betweenEnds(shown["% of max."], row["Share of the nearest maximum (%, rounded up)"])).toBe(true);
      expect(shown.cap ?? "").toBe(row["Cap in force"] ?? "");
      compared += 1;
    }
    for (const row of rows.filter((one) => one.Dose && one.For !== "block")) {
      const { tables } = sheet.emergencies.find(({ title }) => title === row.For) ?? { tables: [] };
      const shown = shownFor(tables[0], row["Weight (kg)"]);
      const wanted = {
        mL: row["Volume to draw up, down to a mark of the syringe (mL)"],
        "mL/h": row["Rate (mL/h)"],
        "mL in all": row["Total at most (mL)"],
      };
      for (const [unit, text] of Object.entries(wanted)) {
        if (text) expect([row.Dose, shown[`${row.Dose} ${unit}`]]).toEqual([row.Dose, text]);
      }
      compared += 1;
    }
    for (const row of rows.filter((one) => one.For === "cuff pressure")) {
      const shown = shownFor(sheet.pressures[0], row["Systolic (mmHg)"]);
      const limb = row.Circumference ? `limb ${row.Circumference}` : "cuff";
      expect(shown[limb]).toBe(row["Cuff pressure (mmHg)"]);
      compared += 1;
    }
    expect(compared).toBe(rows.length);
  });
});

type Table = ReturnType<typeof writtenFrom>["sheet"]["doses"][number];

/** The row of a table for a measure, or the band that holds it; each text by its heading. */
function shownFor(table: Table | undefined, measure = ""): Record<string, string> {
  const found = table?.rows.filter(({ cells }) => betweenEnds(cells[0], measure)) ?? [];
  if (!table || found.length !== 1) throw new Error(`${found.length} rows for ${measure}`);
  return Object.fromEntries(table.headings.map((heading, at) => [heading, found[0]?.cells[at] ?? ""]));
}

/** Whether a number is the one that is written, or between the ends of "67 to 130" or "2.99 to 1.54". */
function betweenEnds(written = "", number = ""): boolean {
  if (written === number) return true;
  const ends = written.split(" to ").map(Number);
  return ends.length === 2 && Math.min(...ends) <= Number(number) && Number(number) <= Math.max(...ends);
}

describe("across every page stands", () => {
  const approved = { "status    draft": 'status    approved by "Drugs committee" on 2026-09-14' };

  test.each([
    ["nothing for a protocol that is approved and in date", { changes: approved }, []],
    ["draft, while it is one", {}, ["Draft"]],
    ["that a review is overdue", { changes: approved, on: "2027-07-01" }, ["Review overdue"]],
    ["both", { on: "2027-07-01" }, ["Draft", "Review overdue"]],
    ["that it is not for use, as --draft", { draft: true }, ["Draft – not for use"]],
    ["in review", { changes: { "status    draft": "status    in-review" } }, ["In review"]],
    [
      "retired, which no review is due for",
      { changes: { "status    draft": "status    retired" }, on: "2027-07-01" },
      ["Retired – not for use"],
    ],
  ])("%s", (_, options, marks) => {
    const { sheet, html } = writtenFrom(WRIST, options);
    expect(sheet.marks).toEqual(marks);
    expect(html.includes('class="across"')).toBe(marks.length > 0);
  });

  test("version, status, approver, review date and digest are in the head, which every page repeats", () => {
    const { sheet, html } = writtenFrom(WRIST, { changes: approved });
    const head = html.slice(html.indexOf("<header"), html.indexOf("</header>"));
    const [compiled] = compileFile(new Site(textOf), WRIST, { on: ON }) ?? [];
    if (compiled?.kind !== "written") throw new Error("not compiled");
    expect(sheet.head.meaning).toBe(compiled.meaning);
    for (const text of [
      "1.4.0",
      "Approved by Drugs committee on 2026-09-14",
      "2027-06-30",
      compiled.meaning,
    ]) {
      expect(head).toContain(text);
    }
  });
});

describe("what was found", () => {
  test("stops a sheet where it is an error, or unsafe", () => {
    const broken = sheetFrom("flawed/misspelt.limb", { draft: true });
    expect(broken).toMatchObject({
      kind: "refused",
      because: "`misspelt` is not written: there are errors.",
    });
    const unsafe = sheetFrom("flawed/fixed-volume.limb");
    expect(unsafe).toMatchObject({
      kind: "refused",
      because: "`fixed-volume` is not written: unsafe findings stand.",
    });
  });

  test("stands on a draft, and the rows and the weights over the maximum are marked", () => {
    const { sheet, html } = writtenFrom("flawed/fixed-volume.limb", { draft: true });
    expect(sheet.standing.findings.map(({ severity, rule }) => [severity, rule])).toEqual([
      ["unsafe", "dose-over-maximum"],
    ]);
    const over = sheet.doses[0]?.rows.filter(({ isOver }) => isOver).map(({ cells }) => cells[0]);
    expect(over).toEqual(["45 to 49"]);
    expect(html).toContain("over the maximum: 45 kg to under 50 kg");
  });

  test.each(filesIn("flawed"))("of %s stands on its draft, unless the text has errors", (file) => {
    const result = sheetFrom(file, { draft: true });
    const [check] = [...checkFiles(new Site(textOf), [file], { on: ON })];
    const found = check?.protocols[0]?.findings.map(({ what }) => what) ?? [];
    if (result.kind === "refused") {
      expect(result.findings.map(({ severity }) => severity)).toContain("error");
    } else {
      const shown = textIn(sheetPage(result.sheet));
      expect(found.filter((what) => !shown.includes(what))).toEqual([]);
      expect(result.sheet.marks).toContain("Draft – not for use");
    }
  });

  test("is printed with who accepted it", () => {
    const { sheet, html } = asItStands("protocols/ankle-reduction.limb");
    expect(sheet.standing.findings[0]?.accepted).toBe("by Pharmacy until 2027-01-31: Box ends at 66 kg");
    expect(html).toContain("Accepted by Pharmacy until 2027-01-31: Box ends at 66 kg");
  });

  test("and what local rules answer is named with who says so, never counted as holding", () => {
    const { sheet, html } = asItStands("protocols/hand-laceration.limb");
    expect(sheet.standing.notDecided).toEqual([]);
    expect(sheet.standing.answered.map(({ rule }) => rule)).toEqual(["agent-maximum-above-label"]);
    expect(html).toContain(
      "Answered: agent-maximum-above-label: at most 30 mg of ketorolac, by Pharmacy until 2027-01-31",
    );
    expect(html).toMatch(/\d+ rules hold; 1 answered by local rules, which is no proof; 0 not decided/);
  });

  test("and what is not decided is named with its reason, on a draft alone", () => {
    const unanswered = (file: string) =>
      file === "local-rules.limb" ? withoutAnswers(textOf(file)) : textOf(file);
    const sheets = (draft: boolean) =>
      sheetsOf(new Site(unanswered), "protocols/hand-laceration.limb", { on: ON, draft }) ?? [];
    expect(sheets(false)).toMatchObject([
      { kind: "refused", findings: [], open: [{ rule: "agent-maximum-above-label" }] },
    ]);
    const [written] = sheets(true);
    if (written?.kind !== "written") throw new Error("no draft");
    expect(written.sheet.standing.notDecided.map(({ rule }) => rule)).toEqual(["agent-maximum-above-label"]);
    expect(sheetPage(written.sheet)).toContain(
      "Not decided: agent-maximum-above-label: no published maximum of ketorolac is known here",
    );
  });
});

describe("nothing is lost:", () => {
  test.each(PROTOCOLS)("every text of %s is printed", (file) => {
    const { html } = asItStands(file);
    const shown = textIn(html);
    const [check] = [...checkFiles(new Site(textOf), [file], { on: ON })];
    const texts = (check?.protocols[0]?.notJudged ?? []).map(({ what }) => /"(.*)"/.exec(what)?.[1] ?? "");
    expect(texts.filter((text) => !shown.includes(text))).toEqual([]);
    expect(texts.length).toBeGreaterThan(0);
    expect(shown).toContain("Limbwright helps to draft and to audit a document. It is not a medical device");
  });

  test("blanks, times and the number of deflations", () => {
    const { sheet, html } = asItStands(WRIST);
    for (const label of ["Measured weight, kg", "Allergies", "Side", "Drawn up by", "Checked by", "Batch"]) {
      expect(html).toContain(label);
    }
    expect(sheet.times).toEqual({
      moments: ["first cuff up", "end of local"],
      bounds: [
        { what: "earliest release", from: "end of local", plus: "30 min" },
        { what: "latest release", from: "first cuff up", plus: "60 min" },
        { what: "latest release", from: "end of local", plus: "50 min" },
        {
          what: "at the latest",
          step: "Will it end in time? If not, another anaesthetic",
          from: "end of local",
          plus: "35 min",
        },
        { what: "at the latest", step: "End this stage; go on below", from: "end of local", plus: "45 min" },
      ],
      deflations: 3,
      hasSwap: true,
      pressureEvery: "5 min",
      overAllRuns:
        "Over all runs: release 30:00 to under 46:00 after the injection; occlusion 33:50 to under 57:05.",
      leansOn: [],
    });
  });

  test("whose work has to be done in time for what holds", () => {
    const { sheet, html } = asItStands("protocols/hand-laceration.limb");
    const words = '"Find the leak; change the cuff" never takes more than 5 min';
    expect(sheet.times.leansOn).toEqual([words]);
    expect(textIn(html)).toContain(`Leans on: ${words}.`);
    expect(textIn(asItStands(WRIST).html)).not.toContain("Leans on");
  });

  test("what comes after the recovery is told before the patient leaves", () => {
    const { sheet } = asItStands("protocols/prilocaine-wrist.limb");
    expect(sheet.discharge.map(({ text }) => text)).toEqual([
      "Tell the patient: blue lips or breathlessness in the next hours are an emergency",
    ]);
    expect(sheet.checklist.at(-1)).toMatchObject({
      kind: "group",
      text: "Aftercare",
      items: [
        { text: "Recovery, watched", time: "1 h" },
        { text: "If Blue-grey colour, saturation about 85 % whatever the oxygen" },
      ],
    });
  });
});

test("a dose by age has a row for each range of ages and weight", () => {
  const { sheet } = writtenFrom(WRIST, {
    changes: {
      "age           16 to 85 years": "age           12 to 85 years",
      "amount 3 mg/kg up to 200 mg":
        "amount by age {\n      12 to 15 years   2 mg/kg up to 100 mg\n      16 years and over            3 mg/kg up to 200 mg\n    }",
    },
    draft: true,
  });
  const [table] = sheet.doses;
  expect(table?.headings.slice(0, 4)).toEqual(["kg", "age", "mL", "mg"]);
  const at60 = table?.rows
    .filter(({ cells }) => betweenEnds(cells[0], "60"))
    .map(({ cells }) => cells.slice(0, 4));
  // 50 kg get 100 mg without the cap.
  expect(at60).toEqual([
    ["51 to 130", "12 to 15 years", "20", "100"],
    ["60", "16 to 85 years", "36", "180"],
  ]);
  expect(sheet.curves.map(({ title }) => title)).toEqual([
    "local: lidocaine over weight, age 12 to 15 years",
    "local: lidocaine over weight, age 16 to 85 years",
  ]);
});

test("a pressure by weight has a column for each range of weights", () => {
  const { sheet } = writtenFrom(WRIST, {
    changes: {
      "pressure greater of systolic + 100 mmHg and 250 mmHg":
        "pressure by weight {\n      45 kg to under 70 kg   greater of systolic + 100 mmHg and 240 mmHg\n      70 kg and over         greater of systolic + 100 mmHg and 260 mmHg\n    }",
    },
    draft: true,
  });
  const [table] = sheet.pressures;
  expect(table?.headings).toEqual(["systolic", "weight 45 kg to under 70 kg", "weight 70 to 130 kg"]);
  expect(table?.rows.map(({ cells }) => cells).slice(0, 2)).toEqual([
    ["90 to 140", "240", "260"],
    ["145", "245", "260"],
  ]);
});

/** What a reader sees of a page. */
function textIn(html: string): string {
  return html
    .slice(html.indexOf("<body"))
    .replace(/<[^>]*>/g, "")
    .replaceAll("&quot;", '"')
    .replaceAll("&#39;", "'")
    .replaceAll("&lt;", "<")
    .replaceAll("&gt;", ">")
    .replaceAll("&amp;", "&");
}

describe("whatever stands in a protocol,", () => {
  const HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)> & 'x'";

  test("it is text", () => {
    const { html } = writtenFrom(WRIST, {
      changes: {
        "Wrist fracture reduction under IVRA": HOSTILE,
        "Over padding; tubing labelled to match": HOSTILE,
        "Raynaud's disease": HOSTILE,
        '"grey"': `"${HOSTILE}"`,
      },
    });
    expect(html).not.toMatch(/<script|<img/i);
    expect(textIn(html).split(HOSTILE).length).toBeGreaterThan(4);
  });

  test("characters that turn the direction of writing are made visible", () => {
    const { html } = writtenFrom(WRIST, { changes: { "Wrist fracture": "Wrist \u202e fracture" } });
    expect(html).toContain("Wrist \ufffd fracture");
    expect(html).not.toContain("\u202e");
  });

  test.each(PROTOCOLS)("the page of %s needs nothing and lets nothing run", (file) => {
    const { html } = asItStands(file);
    expect(html).not.toMatch(/ style=| on\w+=|<script|<link|<img|@import|url\((?!#)/i);
    expect(
      html.match(/https?:\/\/[^"<]*/g)?.filter((one) => one !== "http://www.w3.org/2000/svg") ?? [],
    ).toEqual([]);
    const style = /<style>(.*?)<\/style>/s.exec(html)?.[1] ?? "";
    // The digest that CSP Level 3 (W3C) asks for, computed by another implementation of SHA-256.
    const digest = createHash("sha256").update(style).digest("base64");
    const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(html)?.[1];
    expect(policy?.replaceAll("&#39;", "'")).toBe(
      `default-src 'none'; style-src 'sha256-${digest}'; base-uri 'none'; form-action 'none'`,
    );
  });
});

test("each line of the checklist leads to its line in the text", () => {
  const { sheet } = asItStands(WRIST);
  const lines = (textOf(WRIST) ?? "").split("\n");
  const lineOf = (text: string) => {
    const place = sheet.checklist.find((item) => item.text.startsWith(text))?.place;
    return place && [place.file, lines[place.line - 1]?.trim()];
  };
  expect(lineOf("Inflate distal")).toEqual([WRIST, "inflate distal"]);
  expect(lineOf("Inject local")).toEqual([WRIST, "inject local"]);
  expect(lineOf("Procedure")).toEqual([WRIST, "stage procedure {"]);
});
