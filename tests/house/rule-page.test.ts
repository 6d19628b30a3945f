import { expect, test } from "vitest";
import { type Known, readRulePage, readSources } from "../../.development/steps/rule-page.mjs";

const SOURCES = `
the-label:
  title: A label
  address: https://example.org/label
  seen: passage read
practice:
  title: Practice
  seen: common practice, no source
`;

const KNOWN: Known = {
  sources: readSources("sources.yaml", SOURCES),
  shared: { "taught-order": [{ source: "common-practice", says: "the cuff, then the drug" }] },
  hazards: ["cuff-leaks", "crush"],
};

const HEAD = `title: The cuff is wide enough
group: cuff
severity: unsafe
why: A narrow cuff leaks.
hazards: [crush, cuff-leaks]
parameters:
  - name: minimum
    title: Smallest width
    unit: cm
    standard: 7.50
    tighter: higher
    bound: 5
    source: the-label
sources:
  - source: [the-label, practice]
    says: "at least 7.50 cm: the standard"
  - shared: taught-order
  - source: practice
    says: 5 cm
    disagrees: yes
`;

function read(head: string) {
  return readRulePage("cuff-too-narrow", `---\n${head}---\n\n## Why it matters\n`, KNOWN);
}

test("the head of a page is what the rule asks for: numbers as they are written, a citation for each of its sources", () => {
  expect(read(HEAD)).toEqual({
    stated: {
      id: "cuff-too-narrow",
      title: "The cuff is wide enough",
      group: "cuff",
      severity: "unsafe",
      why: "A narrow cuff leaks.",
      hazards: ["crush", "cuff-leaks"],
      parameters: [
        {
          name: "minimum",
          title: "Smallest width",
          unit: "cm",
          standard: "7.50",
          tighter: "higher",
          bound: "5",
          source: "the-label",
        },
      ],
      sources: [
        { source: "the-label", says: "at least 7.50 cm: the standard" },
        { source: "practice", says: "at least 7.50 cm: the standard" },
        { source: "common-practice", says: "the cuff, then the drug" },
        { source: "practice", says: "5 cm", disagrees: true },
      ],
    },
    page: "## Why it matters\n",
  });
});

test("a finding that nobody may accept, an answer that hangs on the day and a choice of words are read", () => {
  const head = HEAD.replace("why:", "acceptable: no\njudged-on-date: yes\nwhy:")
    .replace("unit: cm", "choices: [narrow, wide]")
    .replace("standard: 7.50", "standard: wide")
    .replace("    tighter: higher\n    bound: 5\n", "");
  const { stated } = read(head);
  expect(stated).toMatchObject({ acceptable: false, judgedOnDate: true });
  expect(stated.parameters).toMatchObject([{ unit: "", standard: "wide", choices: ["narrow", "wide"] }]);
});

test("units of a value up to which something is accepted are read, where nothing unsafe is accepted without", () => {
  const head = HEAD.replace("why:", "acceptable: if-doubtful\naccepted-up-to: [min, h]\nwhy:");
  expect(read(head).stated).toMatchObject({ acceptable: "doubtful", acceptedUpTo: ["min", "h"] });
  expect(() => read(head.replace("acceptable: if-doubtful\n", ""))).toThrow("accepted-up-to needs");
});

test.each([
  [
    "severity: unsafe",
    "severity: deadly",
    'severity is one of error, unsafe, doubtful, advice, not "deadly"',
  ],
  ["group: cuff", "group: cuffs", "group is one of text, numbers, dose, cuff, time, readiness, governance"],
  [
    "why: A narrow cuff leaks.",
    "because: It leaks.",
    "because is no field here; the fields are title, group",
  ],
  ["title: The cuff is wide enough\n", "", "title is missing"],
  ["    unit: cm\n", "", "parameters 1, unit is missing"],
  [
    "standard: 7.50",
    "standard: about 7",
    'parameters 1, standard is a number such as 30 or 0.5, not "about 7"',
  ],
  ["    tighter: higher\n", "", "parameters 1, bound needs `tighter`"],
  ["    bound: 5\n", "", "parameters 1 needs a bound"],
  ["tighter: higher", "tighter: more", 'parameters 1, tighter is one of higher, lower, not "more"'],
  [
    "source: the-label\n",
    "source: a-book\n",
    'parameters 1, source is one of the-label, practice, not "a-book"',
  ],
  ["[the-label, practice]", "a-book", 'sources 1, source is one of the-label, practice, not "a-book"'],
  ["shared: taught-order", "shared: order", 'sources 2, shared is one of taught-order, not "order"'],
  ["disagrees: yes", "disagrees: true", 'sources 3, disagrees is one of yes, no, not "true"'],
  ["    says: 5 cm\n", "", "sources 3, says is missing"],
  ["why: A narrow", "why: Narrow: a narrow", "line 5 is no YAML"],
])("instead of %j, %j is refused in words", (right, wrong, said) => {
  expect(HEAD).toContain(right);
  expect(() => read(HEAD.replace(right, wrong))).toThrow("language/rules/cuff-too-narrow/page.md");
  expect(() => read(HEAD.replace(right, wrong))).toThrow(said);
});

test("a page without a head, and a source that does not say how far it was read, are refused", () => {
  expect(() => readRulePage("cuff-too-narrow", "## Why it matters\n", KNOWN)).toThrow(
    "between two lines of ---",
  );
  expect(() => readSources("sources.yaml", "a-book:\n  title: A book\n")).toThrow(
    "sources.yaml, a-book, seen is missing",
  );
});
