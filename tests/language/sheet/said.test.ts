import { compileFile, Site, sheetPage, sheetsOf } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { type Json, measureTexts, plain, quantitiesAsked, textsAsked, walk } from "../rule-file/asked.ts";
import { baseTexts, fileFrom, ON } from "../rule-file/compiled.ts";
import { WRIST, writtenFrom } from "./written-sheet.ts";

/**
 * What a rule file says of its protocol and the printed sheet does not, each with where it stands. The sheet has figures in
 * place of formulas; what is only for who checks (requirements, codes, sources) is not for the bedside.
 */
function missingFrom(site: Site, file: string): string[] {
  const [sheet] = sheetsOf(site, file, { on: ON, draft: true }) ?? [];
  const [compiled] = compileFile(site, file, { on: ON, draft: true }) ?? [];
  if (sheet?.kind !== "written") throw new Error(`${file} has no sheet: ${sheet?.because}`);
  if (compiled?.kind !== "written") throw new Error(`${file} is refused: ${compiled?.because}`);
  const shown = plain(wordsOn(sheetPage(sheet.sheet)));
  const missing: string[] = [];
  walk(fileFrom(compiled.text).protocol as unknown as Json, [], (path, value) => {
    if (NOT_AT_THE_BEDSIDE.test(path.join("/"))) return;
    const texts = [...textsAsked(path, value), ...namedCondition(path, value)];
    for (const text of texts) if (!shown.includes(plain(text))) missing.push(`${path.join("/")}: ${text}`);
    for (const asked of quantitiesAsked(path, value)) {
      const isThere = measureTexts(asked).some((text) => shown.includes(plain(text)));
      if (!isThere) missing.push(`${path.join("/")}: ${asked.value} ${asked.unit}`);
    }
  });
  return missing;
}

const NOT_AT_THE_BEDSIDE =
  /^(agents\/\d+\/(atc|sources|concentrations|maxima)|requirements|.*\/routine$|cuffs\/(pressure|occlusion)\/|doses\/\d+\/(amount|sameAmount|rate|total)\/)/;

/** A condition with a name is told by it, also where it has a text. */
function namedCondition(path: readonly string[], value: Json): string[] {
  return path.at(-1) === "condition" && path.includes("patients") && typeof value === "string" ? [value] : [];
}

function wordsOn(page: string): string {
  return (
    page
      .replace(/<style[\s\S]*?<\/style>/g, "")
      .replace(/<[^>]*>/g, " ")
      .replaceAll("&quot;", '"')
      .replaceAll("&#39;", "'")
      .replaceAll("&amp;", "&")
      .replace(/[ \n]+/g, " ")
      // On paper alone thousands are set apart.
      .replaceAll("\u202f", "")
  );
}

describe("nothing that a protocol says is lost on its sheet", () => {
  test.each(filesIn("protocols"))("%s", (file) => {
    expect(missingFrom(new Site(textOf), file)).toEqual([]);
  });

  test("a protocol with what the examples do not say", () => {
    const texts = baseTexts();
    const changed = CHANGES.reduce((text, [from, to]) => {
      if (!text.includes(from)) throw new Error(`the base has no "${from}"`);
      return text.replace(from, to);
    }, texts.get("protocol.limb") ?? "");
    texts.set("protocol.limb", changed);
    texts.set("formulary.limb", `${texts.get("formulary.limb")}\n${KETOROLAC}`);
    expect(missingFrom(new Site((name) => texts.get(name)), "protocol.limb")).toEqual([]);
  });
});

const CHANGES = [
  [
    'caution         raynaud          "Raynaud\'s disease"',
    'caution anticoagulants "INR over 3"\n    allowed pregnancy because "After the first trimester only"',
  ],
  ["over   90 s to 3 min", "over   90 s to 3 min\n    with ketorolac 20 mg"],
  [
    '    remove cannula "Press on the puncture"\n',
    '    remove cannula press 1 min to 2 min "Dry dressing"\n',
  ],
  ["exsanguinate by elevation 1 min", "exsanguinate by arterial-compression 2 min"],
  [
    "    wait 5 min\n",
    '    ask "Is the limb pale and numb?" {\n      yes { }\n      no { watch 4 min by "nurse" }\n    }\n    wait 5 min to 7 min\n',
  ],
  ["when tourniquet-pain once", "when tourniquet-pain not before 9 min up to 2 times"],
  [
    "confirm distal\n    inflate proximal",
    'confirm distal else { task "Change the gauge" takes 11 s to 13 s }\n    inflate proximal',
  ],
] as const;

const KETOROLAC = `agent ketorolac {
  kind          adjuvant
  atc           "M01AB15"
  concentration 30 mg/mL
  maximum       30 mg
  caution       "Not with a peptic ulcer"
  source        "Hospital formulary, common practice"
}
`;

test("a dose that goes by the systolic pressure says for whom each row is", () => {
  const { sheet } = writtenFrom(WRIST, {
    draft: true,
    changes: {
      "amount 3 mg/kg up to 200 mg":
        "amount by systolic {\n under 120 mmHg 100 mg\n 120 mmHg and over 150 mg\n }",
    },
  });
  const table = sheet.doses.find(({ caption }) => caption.startsWith("local:"));
  expect(table?.headings.slice(0, 3)).toEqual(["kg", "systolic", "mL"]);
  expect(table?.rows.map(({ cells }) => cells.slice(1, 3))).toEqual([
    ["90 mmHg to under 120 mmHg", "20"],
    ["120 to 180 mmHg", "30"],
  ]);
});
