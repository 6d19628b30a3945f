import { ruleList } from "@limbwright/language";
import { describe, expect, test } from "vitest";
import { catalogue } from "../../language/rules/catalogue.ts";
import { checked, findingsOf, type Hospital } from "./hospital.ts";

const DOSE = "dose-over-maximum";
const TIME = "occlusion-too-long";
const PRESSURE = "pressure-over-ceiling";

function accepts(what: string): string {
  return `  accept ${what} because "Tendons" by "Anaesthesia lead" by "Pharmacy" until 2027-01-31`;
}

const judged = (hospital: Hospital, rule: string) =>
  findingsOf(hospital, rule).map(({ subject, accepted }) => [subject, accepted?.upTo]);
const labels = (hospital: Hospital) =>
  findingsOf(hospital, "acceptance-goes-too-far").map(({ label }) => label);

describe("cuffs that are up for longer", () => {
  const late = [
    ["at most  50 min", "at most  75 min"],
    ["when hold reaches 45 min", "when hold reaches 60 min"],
  ] as const;
  const rules = (value: string, place = "upper-arm") =>
    accepts(`${TIME} of ${place} in wrist-reduction up to ${value}`);
  const at = (value: string, changes: Hospital["changes"] = late, place = "upper-arm") => ({
    rules: rules(value, place),
    changes,
  });

  test("are covered up to the value, in every run", () => {
    expect(judged(at("75 min"), TIME)).toEqual([["upper-arm", "75 min"]]);
    expect(labels(at("75 min"))).toEqual([]);
    expect(judged(at("1.25 h"), TIME)).toEqual([["upper-arm", "1.25 h"]]);
    expect(judged(at("62 min"), TIME)).toEqual([["upper-arm", undefined]]);
  });

  test("not past the bound, at another place, or without an end", () => {
    expect(labels(at("91 min"))).toEqual(["over 90 min"]);
    expect(judged(at("91 min"), TIME)).toEqual([["upper-arm", undefined]]);
    expect(labels(at("75 min", late, "forearm"))).toEqual(["not the place of the cuffs"]);
    expect(judged(at("75 min", late, "forearm"), TIME)).toEqual([["upper-arm", undefined]]);
    const endless = [["      when hold reaches 45 min {\n        end stage\n      }\n", ""]] as const;
    expect(judged(at("90 min", endless), TIME)).toEqual([["upper-arm", undefined]]);
    const neverDown = [
      ["    wait for hold\n", '    ask "Done?" {\n yes {\n wait for hold\n }\n no {\n finish\n }\n }\n'],
    ] as const;
    expect(judged(at("90 min", [...late, ...neverDown]), TIME)).toEqual([["upper-arm", undefined]]);
  });

  test("change no other verdict", () => {
    const verdicts = (local: string) =>
      checked({ rules: local, changes: late })
        .flatMap(({ protocols }) => protocols[0]?.verdicts ?? [])
        .filter(({ rule }) => !rule.startsWith("acceptance-"));
    expect(verdicts(rules("75 min"))).toEqual(verdicts("  set action-time 60 s"));
  });
});

describe("a pressure over the hospital's own ceiling", () => {
  const set = `  set ${PRESSURE}.arm-and-calf 250 mmHg\n`;
  const at = (value: string, ceiling = "280 mmHg"): Hospital => ({
    rules: `${set}${accepts(`${PRESSURE} of upper-arm in wrist-reduction up to ${value}`)}`,
    changes: [["ceiling  300 mmHg", `ceiling  ${ceiling}`]],
  });

  test("is covered up to the value: the ceiling, and the target under it", () => {
    expect(judged(at("280 mmHg"), PRESSURE)).toEqual([
      ["upper-arm", "280 mmHg"],
      ["upper-arm", "280 mmHg"],
    ]);
  });

  test("not a target over the protocol's own ceiling, nor anything over the published one", () => {
    expect(judged(at("300 mmHg", "270 mmHg"), PRESSURE).map(([, upTo]) => upTo)).toEqual([
      undefined,
      undefined,
    ]);
    expect(labels(at("310 mmHg"))).toEqual(["over 300 mmHg"]);
    expect(judged(at("310 mmHg"), PRESSURE).map(([, upTo]) => upTo)).toEqual([undefined, undefined]);
  });

  test("and what is only doubtful is accepted as before, without a value", () => {
    const children: Hospital = {
      rules: '  accept pressure-over-ceiling because "Measured" by "Pharmacy" until 2027-01-31',
      changes: [["age           16 to 85 years", "age           10 to 85 years"]],
    };
    const found = findingsOf(children, PRESSURE);
    expect(found.map(({ severity, accepted }) => [severity, accepted !== undefined])).toEqual([
      ["doubtful", true],
    ]);
    expect(labels(children)).toEqual([]);
  });
});

test("a rule says how it is judged with a value where its page lets it be accepted up to one, and nowhere else", () => {
  const stated = ruleList.filter(({ acceptedUpTo }) => acceptedUpTo).map(({ id }) => id);
  expect(stated).toEqual([DOSE, PRESSURE, TIME]);
  expect(
    catalogue
      .filter(({ upTo }) => upTo)
      .map(({ id }) => id)
      .sort(),
  ).toEqual([...stated].sort());
});
