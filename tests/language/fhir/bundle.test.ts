import { CAUTION } from "@limbwright/shared/text";
import { describe, expect, test } from "vitest";
import type { Action, PlanDefinition } from "../../../language/outputs/fhir/resources.ts";
import { baseTexts } from "../rule-file/compiled.ts";
import { baseBundle, bundlesFrom, exampleBundles, planOf, type WrittenBundle } from "./bundles.ts";
import { missingFrom } from "./said.ts";

const examples = exampleBundles("protocols", "retired");
const example = (name: string): WrittenBundle => {
  const found = examples.find(({ protocol }) => protocol === name);
  if (!found) throw new Error(`there is no example ${name}`);
  return found;
};

test("the Bundle of an example is as it was", async () => {
  await expect(example("hand-laceration").text).toMatchFileSnapshot("../../golden/fhir/hand-laceration.json");
});

test.each(examples.map((one) => [one.protocol, one] as const))(
  "all that the protocol says is in its Bundle: %s",
  (_, { bundle, ruleFile }) => {
    expect(missingFrom(bundle, ruleFile())).toEqual([]);
  },
);

describe("what is taken out of a Bundle is missed", () => {
  const { bundle, ruleFile } = example("hand-laceration");
  const file = ruleFile();
  const [plan, ...doses] = bundle.entry;
  const missingWithout = (change: Partial<PlanDefinition>) => {
    const resource: PlanDefinition = { ...planOf({ bundle }), ...change };
    return missingFrom({ ...bundle, entry: [{ fullUrl: "", resource }, ...doses] }, file);
  };
  const [procedure, throughout, emergency] = planOf({ bundle }).action;
  if (!plan || !procedure || !throughout || !emergency) throw new Error("the example lacks a part");

  test("what may happen at any time", () => {
    const missing = missingWithout({ action: [procedure, emergency] });
    expect(missing).toContain("6 when in the protocol, 4 in the Bundle");
  });

  test("an emergency", () => {
    const missing = missingWithout({ action: [procedure, throughout] });
    expect(missing).toContain("1 emergency in the protocol, 0 in the Bundle");
    expect(missing).toContain("emergencies/0/steps/1/text: Oxygen, airway");
  });

  test("a time, a pressure and a requirement", () => {
    const missing = missingWithout({ goal: [] });
    expect(missing).toContain("timers/0/atMost: 50 min");
    expect(missing).toContain("cuffs/ceiling: 300 mm[Hg]");
    expect(missing.join()).toContain("Feel the cuff at once");
  });

  test("a contraindication", () => {
    const missing = missingWithout({ action: [{ ...procedure, condition: [] }, throughout, emergency] });
    expect(missing.join()).toContain("Sickle cell disease or trait");
  });

  test("a dose", () => {
    const missing = missingFrom({ ...bundle, entry: [plan] }, file).join("\n");
    expect(missing).toContain("18 mL");
    expect(missing).toContain("N01BB02");
  });
});

describe("a Bundle hangs together", () => {
  test.each(examples.map((one) => [one.protocol, one] as const))("%s", (_, { bundle }) => {
    const urls = bundle.entry.map(({ fullUrl }) => fullUrl);
    expect(new Set(urls).size).toBe(urls.length);
    // RFC 9562: version 8, variant 10.
    for (const url of urls) {
      expect(url).toMatch(/^urn:uuid:[0-9a-f]{8}-[0-9a-f]{4}-8[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    }
    const known = bundle.entry.flatMap(({ resource }) =>
      resource.resourceType === "ActivityDefinition" ? [`${resource.url}|${resource.version}`] : [],
    );
    const actions = actionsIn(planOf({ bundle }).action);
    const ids = actions.map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    const related = actions.flatMap(({ relatedAction = [] }) =>
      relatedAction.map(({ actionId }) => actionId),
    );
    expect(related.filter((id) => !ids.includes(id))).toEqual([]);
    const definitions = actions.flatMap(({ definitionCanonical }) => definitionCanonical ?? []);
    expect(definitions.filter((one) => !known.includes(one))).toEqual([]);
    expect(known.filter((one) => !definitions.includes(one))).toEqual([]);
    const events = actions.flatMap(({ trigger = [] }) => trigger.map(({ name }) => name));
    const fired = actions.filter(({ type }) => type !== undefined);
    expect(fired.filter(({ relatedAction = [] }) => relatedAction.length === 0)).toEqual([]);
    expect(events.length).toBeGreaterThan(0);
  });
});

test("steps follow one another in order, and a wait and a timer count from the injection", () => {
  const actions = actionsIn(planOf(example("wrist-reduction")).action);
  const of = (words: string) => actions.find(({ textEquivalent }) => textEquivalent === words);
  const inject = of("inject local")?.id;
  expect(of("remove cannula")?.relatedAction).toEqual([{ actionId: inject, relationship: "after-end" }]);
  const minutes = (value: number) => ({
    value,
    unit: "min",
    system: "http://unitsofmeasure.org",
    code: "min",
  });
  expect(of("wait for hold")?.relatedAction?.[1]).toEqual({
    actionId: inject,
    relationship: "after-end",
    offsetRange: { low: minutes(30) },
  });
  expect(of("when hold reaches 45 min")?.relatedAction).toEqual([
    { actionId: inject, relationship: "after-end", offsetDuration: minutes(45) },
  ]);
});

describe("an amount is coded only where a dosage can say exactly that", () => {
  const dosageOf = ({ bundle }: WrittenBundle, title: string) =>
    bundle.entry.flatMap(({ resource }) =>
      resource.resourceType === "ActivityDefinition" && resource.title === title ? resource.dosage : [],
    )[0];
  const local = (amount: string) =>
    dosageOf(baseBundle([["amount 3 mg/kg up to 200 mg", `amount ${amount}`]], { draft: true }), LOCAL);
  const LOCAL = "Draft – not for use: local: lidocaine";
  const coded = (value: number, code: string) => ({
    value,
    unit: code,
    system: "http://unitsofmeasure.org",
    code,
  });

  test.each([
    ["3 mg/kg up to 200 mg", coded(3, "mg/kg"), coded(200, "mg")],
    ["lesser of 200 mg and 3 mg/kg", coded(3, "mg/kg"), coded(200, "mg")],
    ["80 % of 3 mg/kg up to half of 250 mg", coded(2.4, "mg/kg"), coded(125, "mg")],
    ["30 mL", coded(30, "mL"), undefined],
  ])("%s", (amount, dose, cap) => {
    const dosage = local(amount);
    expect(dosage?.doseAndRate).toEqual([{ doseQuantity: dose }]);
    expect(dosage?.maxDosePerAdministration).toEqual(cap);
  });

  test.each([
    "3 mg/kg rounded down to 1 mL",
    "3 mg/kg up to 40 mL",
    "1 mg/kg + 60 mg",
    "greater of 3 mg/kg and 150 mg",
    "lesser of 3 mg/kg and 2.5 mg/kg",
  ])("%s stands in words, and is listed", (amount) => {
    const written = baseBundle([["amount 3 mg/kg up to 200 mg", `amount ${amount}`]], { draft: true });
    const dosage = dosageOf(written, LOCAL);
    expect(dosage?.doseAndRate).toBeUndefined();
    expect(dosage?.maxDosePerAdministration).toBeUndefined();
    expect(dosage?.text).toContain(amount);
    expect(written.notCoded).toContainEqual({
      kept: "in-words",
      part: "dose local",
      what: `its amount, ${amount}`,
    });
  });

  test("of bands, each is a definition of its own, and one of them at most is a patient's", () => {
    const { bundle } = example("hand-laceration");
    const [given] = actionsIn(planOf({ bundle }).action).filter(
      ({ textEquivalent }) => textEquivalent === "inject local",
    );
    const bands = given?.action?.[0];
    expect(given?.selectionBehavior).toBe("all");
    expect(bands?.selectionBehavior).toBe("exactly-one");
    expect(bands?.action?.map(({ condition }) => condition?.[0]?.expression.description)).toEqual([
      "weight 45 kg to under 50 kg",
      "weight 50 kg to under 60 kg",
      "weight 60 kg and over",
    ]);
  });
});

describe("where the protocol stands", () => {
  const APPROVED = ["status    draft", 'status    approved by "Head of anaesthesia" on 2026-11-01'] as const;

  test("a draft and what is in review are drafts", () => {
    expect(planOf(example("wrist-reduction")).status).toBe("draft");
    const inReview = example("hand-laceration");
    expect(planOf(inReview).status).toBe("draft");
    expect(inReview.notCoded.map(({ what }) => what).join()).toContain("that it is in review");
  });

  test("what is retired is retired", () => {
    expect(planOf(example("thumb-suture")).status).toBe("retired");
  });

  test("what is approved is active, with the day, who approved it, and until when it holds", () => {
    expect(planOf(baseBundle([APPROVED]))).toMatchObject({
      status: "active",
      approvalDate: "2026-11-01",
      endorser: [{ name: "Head of anaesthesia" }],
      effectivePeriod: { end: "2027-06-30" },
      publisher: "Tarn Hollow Hospital",
    });
  });

  test("what is approved and written as a draft is one, for testing only, with its findings", () => {
    const written = baseBundle([APPROVED, ["amount 3 mg/kg up to 200 mg", "amount 40 mL"]], { draft: true });
    const plan = planOf(written);
    expect(plan).toMatchObject({ status: "draft", experimental: true });
    expect(plan.title).toMatch(/^Draft – not for use: /);
    expect(plan.approvalDate).toBeUndefined();
    expect(written.notCoded[0]?.what).toContain("approved by Head of anaesthesia on 2026-11-01");
    expect(written.text).toContain('"code": "dose-over-maximum"');
  });

  test("what is unsafe is refused", () => {
    expect(() => baseBundle([["amount 3 mg/kg up to 200 mg", "amount 40 mL"]])).toThrow("refused");
  });

  test("the digests are those of the rule file, and every definition carries them and the caution", () => {
    for (const { bundle, ruleFile, protocol } of examples.slice(0, 2)) {
      for (const { resource } of bundle.entry) {
        if (resource.resourceType === "OperationOutcome") continue;
        const { digests } = ruleFile();
        const values = resource.identifier.map(({ value }) => value);
        expect(values).toEqual([digests.meaning, digests.proof, protocol]);
        expect(resource.usage).toContain(CAUTION);
      }
    }
  });
});

test("what is not coded is listed in the Bundle, as it is told", () => {
  for (const { bundle, notCoded } of examples) {
    const outcome = bundle.entry.find(({ resource }) => resource.id === "not-coded")?.resource;
    const issues = outcome?.resourceType === "OperationOutcome" ? outcome.issue : [];
    expect(issues.map(({ details }) => [details.coding?.[0]?.code, details.text])).toEqual(
      notCoded.map(({ kept, part, what }) => [
        kept,
        `${kept === "left-out" ? "Left out" : "In words only"}: ${part}: ${what}.`,
      ]),
    );
    expect(notCoded.length).toBeGreaterThan(20);
  }
});

test("the same sources give the same bytes, with line ends of Windows, on another day", () => {
  const windows = new Map([...baseTexts()].map(([file, text]) => [file, text.replaceAll("\n", "\r\n")]));
  const [other] = bundlesFrom(windows, "protocol.limb", { on: "2026-12-24" });
  expect(other?.text).toBe(baseBundle().text);
});

test("no text of a protocol is ever markup", () => {
  const script = "<script>alert(1)</script>";
  const { text, bundle } = baseBundle([
    ['"Wrist fracture reduction under IVRA"', `"${script}"`],
    ['"Reduce and splint"', `"${script} [x](javascript:alert(1))"`],
    ['indication "', `indication "${script} **now** `],
  ]);
  const plan = planOf({ bundle });
  // Narrative is markup, and there is none; `purpose` is Markdown, so what means something in it is escaped.
  expect(text).not.toMatch(/"(text|div)": ("<|\{\s*"(status|div)")/);
  expect(plan.title).toBe(script);
  expect(plan.purpose).toMatch(/^&lt;script\\>alert\\\(1\\\)&lt;\\\/script\\> \\\*\\\*now\\\*\\\*/);
});

function actionsIn(actions: readonly Action[]): Action[] {
  return actions.flatMap((one) => [one, ...actionsIn(one.action ?? [])]);
}
