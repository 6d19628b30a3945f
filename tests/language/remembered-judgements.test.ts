import { isDeepStrictEqual } from "node:util";
import { earlierVersions, judgeFile, RememberedJudgements, Site } from "@limbwright/language";
import fc from "fast-check";
import { expect, test } from "vitest";
import { textOf } from "../examples/site.ts";
import { asksAll, firstSeed, howMany } from "../questions.ts";

const ON = "2026-11-25";
const TYPED = "protocols/typed.limb";

/** Three protocols in one file, with what they share before, between and behind them. */
const TEXT = [
  'use "../formulary.limb"',
  'use "../local-rules.limb"',
  'use "../routines.limb"',
  'use "../events.limb"',
  ...["protocols/wrist-reduction.limb", "flawed/swap-the-wrong-way.limb", "flawed/recipe.limb"].map((file) =>
    (textOf(file) ?? "").replace(/^use .*$/gm, ""),
  ),
].join("\n");

/** A line taken out, doubled, or with another number or letter in it, by shares of the text. */
const EDIT = fc.record({
  at: fc.double({ min: 0, max: 0.999, noNaN: true }),
  kind: fc.constantFrom("out", "twice", "number", "letter", "comment", "blank", "brace"),
});

type Edit = typeof EDIT extends fc.Arbitrary<infer T> ? T : never;

function edited(text: string, { at, kind }: Edit): string {
  const lines = text.split("\n");
  const index = Math.floor(at * lines.length);
  const line = lines[index] ?? "";
  const instead: Record<Edit["kind"], string[]> = {
    out: [],
    twice: [line, line],
    number: [line.replace(/\d/, (digit) => String((Number(digit) + 1) % 10))],
    letter: [line.replace(/[a-z]\b/, "q")],
    comment: [`${line} // as agreed`],
    blank: ["", line],
    brace: [`${line} }`],
  };
  return lines.toSpliced(index, 1, ...instead[kind]).join("\n");
}

test.each([true, false])(
  "what is remembered is what would be found anew, after every one of many edits (without runs: %s)",
  { timeout: 120_000 },
  (withoutRuns) => {
    fc.assert(
      fc.property(fc.array(EDIT, { minLength: 1, maxLength: 5 }), (edits) => {
        let text = TEXT;
        const textNow = (file: string) => (file === TYPED ? text : textOf(file));
        const remembered = new RememberedJudgements();
        const site = new Site(textNow);
        judgeFile(site, TYPED, { on: ON, withoutRuns, remembered });
        for (const edit of edits) {
          text = edited(text, edit);
          site.noteChange(TYPED);
          const now = judgeFile(site, TYPED, { on: ON, withoutRuns, remembered });
          const fresh = new Site(textNow);
          const anew = judgeFile(fresh, TYPED, { on: ON, withoutRuns });
          expect([now, text]).toSatisfy(() => isDeepStrictEqual(now, anew));
          expect([edits, text]).toSatisfy(() => isDeepStrictEqual(site.file(TYPED), fresh.file(TYPED)));
        }
      }),
      { numRuns: howMany(withoutRuns ? 50 : 20), seed: firstSeed() },
    );
  },
);

test("an edit of one protocol leaves what was found about another as it was, moved to where it stands now", () => {
  let text = TEXT;
  const remembered = new RememberedJudgements();
  const site = new Site((file) => (file === TYPED ? text : textOf(file)));
  const judged = () => judgeFile(site, TYPED, { on: ON, withoutRuns: true, remembered })?.protocols ?? [];
  const first = judged();
  text = TEXT.replace(/}\s*$/, "  // the end\n}\n");
  site.noteChange(TYPED);
  expect(judged()[0]).toBe(first[0]);
  const before = first.at(-1);
  text = TEXT.replace("protocol ", "// a line more\n\nprotocol ");
  site.noteChange(TYPED);
  const now = judged().at(-1);
  expect(now?.nameOrigin.start.line).toBe((before?.nameOrigin.start.line ?? 0) + 2);
  expect(now?.findings.map(({ what }) => what)).toEqual(before?.findings.map(({ what }) => what));
  expect(now?.findings.length).toBeGreaterThan(0);
});

test("what was judged of a day is not given for another", () => {
  const remembered = new RememberedJudgements();
  const site = new Site((file) => (file === TYPED ? TEXT : textOf(file)));
  const overdue = (on: string) =>
    judgeFile(site, TYPED, { on, withoutRuns: true, remembered })?.protocols.flatMap(({ findings }) =>
      findings.filter(({ rule }) => rule === "review-overdue"),
    ).length;
  expect([overdue("2026-11-25"), overdue("2099-01-01")]).toEqual([0, expect.any(Number)]);
  expect(overdue("2099-01-01")).toBeGreaterThan(0);
});

/** In use or on its way there: of drafts no earlier version is looked at. */
const REVIEWED = TEXT.replaceAll(/^( *status +).*$/gm, "$1in-review");

/** Such as make one protocol of the file another, or give it another name. */
const CHANGE = fc.record({
  at: fc.double({ min: 0, max: 0.999, noNaN: true }),
  kind: fc.constantFrom("number", "name", "version", "comment", "out"),
});

function changed(
  text: string,
  { at, kind }: typeof CHANGE extends fc.Arbitrary<infer T> ? T : never,
): string {
  const found = [...text.matchAll(/^protocol ([\w-]+)/gm)];
  const [header = "", name = ""] = found[Math.floor(at * found.length)] ?? [];
  if (kind === "name") return text.replace(header, `protocol ${name}x`);
  if (kind === "version") return text.replace(new RegExp(`(${header} [^]*?version +)\\d+`), "$19");
  return edited(text, { at, kind });
}

test("which protocol of the last commit another is renamed hangs on the others of its file", () => {
  const [head = "", first = "", ...others] = REVIEWED.split(/^(?=protocol )/gm);
  const named = (name: string) => first.replace(/^protocol [\w-]+/, `protocol ${name}`);
  const renamed = [head, named("another").replace("3 mg/kg", "2.9 mg/kg"), ...others].join("");
  let text = renamed;
  const textNow = (file: string) => (file === TYPED ? text : textOf(file));
  const textBefore = (file: string) => (file === TYPED ? REVIEWED : textOf(file));
  const holds = (file: string) => textBefore(file) !== undefined;
  const texts = { name: "the last commit", key: "1", files: () => [TYPED], holds, textOf: textBefore };
  const site = new Site(textNow);
  const [remembered, earlier] = [new RememberedJudgements(), earlierVersions(texts, site)];
  const verdict = () => {
    site.noteChange(TYPED);
    const judged = judgeFile(site, TYPED, { on: ON, remembered, earlierVersions: earlier });
    const another = judged?.protocols.find(({ name }) => name === "another");
    return another?.verdicts.find(({ rule }) => rule === "version-not-raised")?.kind;
  };
  expect(verdict()).toBe("broken");
  // Now it is this one, which says the same, so that the other is new.
  text = renamed + named("third");
  expect(verdict()).toBeUndefined();
});

test("with earlier versions, what is remembered is what would be found anew, while texts and the last commit change", {
  timeout: 240_000,
}, () => {
  const asked = new Set<string | undefined>();
  const action = fc.oneof(
    { weight: 3, arbitrary: CHANGE },
    { weight: 1, arbitrary: fc.constant("commit" as const) },
  );
  fc.assert(
    fc.property(fc.array(action, { minLength: 1, maxLength: 4 }), (actions) => {
      let text = REVIEWED;
      let committed = REVIEWED;
      let commits = 0;
      const textNow = (file: string) => (file === TYPED ? text : textOf(file));
      const earlierFor = (site: Site) => {
        const before = committed;
        const textBefore = (file: string) => (file === TYPED ? before : textOf(file));
        return earlierVersions(
          {
            name: "the last commit",
            key: `${commits}`,
            files: () => [TYPED],
            holds: (file) => textBefore(file) !== undefined,
            textOf: textBefore,
          },
          site,
        );
      };
      const site = new Site(textNow);
      const remembered = new RememberedJudgements();
      let earlier = earlierFor(site);
      judgeFile(site, TYPED, { on: ON, remembered, earlierVersions: earlier });
      for (const one of actions) {
        if (one === "commit") {
          committed = text;
          commits += 1;
          earlier = earlierFor(site);
        } else {
          text = changed(text, one);
          site.noteChange(TYPED);
        }
        const now = judgeFile(site, TYPED, { on: ON, remembered, earlierVersions: earlier });
        const fresh = new Site(textNow);
        const anew = judgeFile(fresh, TYPED, { on: ON, earlierVersions: earlierFor(fresh) });
        expect([actions, text, now]).toSatisfy(() => isDeepStrictEqual(now, anew));
        for (const { verdicts } of anew?.protocols ?? []) {
          asked.add(verdicts.find(({ rule }) => rule === "version-not-raised")?.kind);
        }
      }
    }),
    { numRuns: howMany(20), seed: firstSeed() },
  );
  if (asksAll()) expect([...asked].sort()).toEqual(["broken", "holds", "not-decided", undefined]);
});
