import { compileFile, protocolTemplate, Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { TEXTS_TO_REPLACE } from "../../language/rules/generated/template-texts.ts";
import { checkExample, laidOver } from "./page-examples.ts";

const RULE = "template-text-left";

function found(text: string) {
  const { check } = checkExample(text, { about: [RULE] });
  return check.findings.filter(({ rule }) => rule === RULE);
}

test("the template's words that an author replaces are these; any other may stay, and is listed where the list is made", () => {
  const template = protocolTemplate({
    ...{
      name: "wrist",
      title: "The title",
      place: "upper-arm",
      formulary: "formulary.limb",
      reviewBy: "2027-06-30",
    },
  });
  const quoted = [...template.matchAll(/"([^"]*)"/g)].map(([, text]) => text ?? "");
  expect(quoted.filter((text) => TEXTS_TO_REPLACE.includes(text))).toEqual([
    "The title",
    "The name of your hospital",
    "The role that answers for this protocol",
    "What it is for, and for how long",
    "What is done to the limb",
  ]);
});

const HOSPITAL = 'hospital "The name of your hospital"';

test.each([
  ["draft", "advice"],
  ["retired", "advice"],
  ["in-review", "unsafe"],
  ['approved by "Anaesthesia lead" on 2026-10-01', "unsafe"],
])("what is left in a protocol that is %s is %s", (status, severity) => {
  expect(found(`status ${status}\n${HOSPITAL}`).map((one) => one.severity)).toEqual([severity]);
});

const LEFT = "What is done to the limb";

test.each([
  ["the owner", 'owner "The role that answers for this protocol"'],
  ["the indication", 'indication "What it is for, and for how long"'],
  ["other capitals, blanks and a full stop", 'owner "The role  that answers for this Protocol. "'],
  [
    "a task",
    `steps { apply cuffs\ninsert cannula\nexsanguinate by elevation 1 min\ninflate proximal\nconfirm proximal\ninject local\ntask "${LEFT}"\nwait for hold\ndeflate all\nrecovery 30 min }`,
  ],
  ["a note", `steps { apply cuffs "${LEFT}" }`],
  [
    "an answer",
    `throughout { when patient-distress { task "${LEFT}" } when toxicity-signs { go to emergency toxicity } }`,
  ],
  ["an emergency", `emergency toxicity "Toxicity" { task "${LEFT}" }`],
  [
    "a condition",
    `patients { age 16 to 85 years\nweight 45 to 130 kg\nsystolic 90 to 180 mmHg\nallowed raynaud because "Reason" }`,
  ],
  ["a requirement", 'require "What must be so" { never bandage on }'],
])("it is found in %s", (_, text) => {
  expect(found(text)).toHaveLength(1);
});

test("all that is left is told at once", () => {
  const [finding, ...others] = found(`${HOSPITAL}\nowner "The role that answers for this protocol"`);
  expect(others).toEqual([]);
  expect(finding?.what).toContain("and 1 more");
  expect(finding?.related).toHaveLength(1);
});

test("a text that is somebody's own, or that may stay, is none of them", () => {
  expect(
    found('hospital "Tarn Hollow Hospital"\nowner "The role that answers for this protocol at night"'),
  ).toEqual([]);
  expect(
    found('emergency toxicity "Local anaesthetic systemic toxicity" { task oxygen "Oxygen, airway" }'),
  ).toEqual([]);
});

test("while it is left the protocol is written as a draft only", () => {
  const { files, file } = laidOver(HOSPITAL);
  const compiled = (draft: boolean) =>
    compileFile(new Site((name) => files.get(name)), file, { on: "2026-11-25", draft })?.map((one) =>
      one.kind === "refused" ? one.because : one.use,
    );
  expect(compiled(false)).toEqual(["`example` is not written: it can be written as a draft only."]);
  expect(compiled(true)).toEqual(["draft"]);
});
