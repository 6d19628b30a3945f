import { expect, test } from "vitest";
import { checkExample, READING } from "../../rules/page-examples.ts";

function sharedLines(text: string) {
  return checkExample(text, { about: READING }).check.findings.filter(
    ({ rule }) => rule === "statement-shares-line",
  );
}

test.each([
  [
    "a step with its way out",
    "steps {\n  inflate proximal\n  confirm proximal else {\n    deflate proximal\n  }\n}\n",
  ],
  ["a question on one line", 'steps {\n  ask "Good?" { yes { wait 1 min } no { wait 5 min } }\n}\n'],
  [
    "a question with its answers one after another",
    'steps {\n  ask "Good?" {\n    yes {\n      wait 1 min\n    } no {\n      wait 5 min\n    }\n  }\n}\n',
  ],
  ["a block on one line", "steps {\n  stage one { wait 1 min }\n}\n"],
  ["lists", 'prepare {\n  at-hand lipid-emulsion, "suction"\n  monitoring ecg, spo2, nibp every 5 min\n}\n'],
  [
    "a statement that goes on",
    'cuffs proximal "grey",\n  distal "white" on upper-arm {\n  pressure greater of systolic + 100 mmHg and\n    250 mmHg\n}\n',
  ],
  ["comments behind statements", "steps {\n  inflate proximal // inflate distal\n  confirm proximal\n}\n"],
])("%s: no statement shares its line", (_what, text) => {
  expect(sharedLines(text)).toEqual([]);
});

test.each([
  ["after a block", "steps {\n  stage one {\n    wait 1 min\n  } wait 2 min\n}\n", "  wait 2 min"],
  ["in prepare", "prepare {\n  iv-access other-limb site-marked\n}\n", "  site-marked"],
  ["in a timer", "timer hold from end of local { at least 30 min at most 50 min }\n", "at most 50 min"],
])(
  "%s one that shares its line is found once, and its repair leaves nothing to find",
  (_where, text, moved) => {
    const findings = sharedLines(text);
    expect(findings).toHaveLength(1);
    const { check, firstLine } = checkExample(text, { about: READING });
    const [repair] = check.findings.find(({ rule }) => rule === "statement-shares-line")?.repairs ?? [];
    const before = text.split("\n");
    const mended = (repair?.changes ?? []).reduceRight((lines, { origin, text: put }) => {
      const line = origin.start.line - firstLine;
      const old = lines[line] ?? "";
      return lines.with(line, old.slice(0, origin.start.column - 1) + put + old.slice(origin.end.column - 1));
    }, before);
    expect(mended.join("\n").split("\n")).toContainEqual(expect.stringMatching(new RegExp(`^${moved}`)));
    expect(sharedLines(mended.join("\n"))).toEqual([]);
  },
);

test("a line that is not understood is not also said to hold two statements", () => {
  expect(sharedLines("steps {\n  inflate proximal, confirm proximal wait 3 min\n}\n")).toEqual([]);
});
