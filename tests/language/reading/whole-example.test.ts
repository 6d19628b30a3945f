import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Site } from "@limbwright/language";
import { inBase, rational } from "@limbwright/shared/quantity";
import { expect, test } from "vitest";
import type { Handler, Protocol, Step } from "../../../language/model/index.ts";
import { type Expression, evaluate } from "../../../language/population/index.ts";

const BASE = join(import.meta.dirname, "../../rules/base");
const site = new Site((file) => readFileSync(join(BASE, file), "utf8"));
const read = site.file("protocol.limb");

function protocol(): Protocol {
  const [only] = read?.protocols ?? [];
  if (!only) throw new Error("the base protocol was not read");
  return only;
}

function at(expression: Expression | undefined, patient: Record<string, number>): string | undefined {
  const values = Object.entries(patient).map(([variable, value]) => [variable, rational(value)]);
  return expression && evaluate(expression, Object.fromEntries(values))?.toFraction();
}

test("the whole example is read without a problem, with the files it uses", () => {
  expect(read?.problems).toEqual([]);
  expect(read?.uses).toEqual(["formulary.limb", "local-rules.limb"]);
  expect(site.file("formulary.limb")?.problems).toEqual([]);
  expect(site.file("local-rules.limb")?.problems).toEqual([]);
  expect(protocol().incomplete).toBe(false);
});

test("who it is for and what it is", () => {
  const { name, title, version, status, reviewBy, hospital, owner, localRules, patients } = protocol();
  expect([name, title, version?.value, reviewBy?.value]).toEqual([
    "wrist-reduction",
    "Wrist fracture reduction under IVRA",
    "1.4.0",
    "2027-06-30",
  ]);
  expect([status?.value, hospital?.value, owner?.value, localRules?.name]).toEqual([
    { kind: "draft" },
    "Tarn Hollow Hospital",
    "Anaesthesia lead",
    "tarn-hollow",
  ]);
  const bounds = Object.entries(patients?.bounds ?? {}).map(
    ([variable, { interval, unit }]) =>
      `${variable} ${interval.lower?.value} to ${interval.upper?.value} ${unit}`,
  );
  expect(bounds).toEqual([
    "age 16 to 86 years",
    "weight 45 to 130 kg",
    "systolic 90 to 180 mmHg",
    "circumference 25 to 40 cm",
  ]);
  expect(patients?.conditions.map(({ decision, condition }) => `${decision} ${condition}`)).toEqual([
    "contraindicated allergy",
    "contraindicated sickle-cell",
    "contraindicated vascular-disease",
    "contraindicated hypertension",
    "caution raynaud",
  ]);
});

test("the cuffs, and the pressure at two systolic pressures", () => {
  const { cuffs } = protocol();
  expect(cuffs?.cuffs.map(({ name, label }) => `${name} ${label}`)).toEqual([
    "proximal grey",
    "distal white",
  ]);
  expect(cuffs?.place?.value).toBe("upper-arm");
  expect([90, 180].map((systolic) => at(cuffs?.pressure?.expression, { systolic }))).toEqual(["250", "280"]);
  expect(cuffs?.ceiling && inBase(cuffs.ceiling).toString()).toBe("300");
});

test("the doses, in mg and mL at three weights, and their times in seconds", () => {
  const doses = Object.fromEntries(protocol().doses.map((dose) => [dose.name, dose]));
  const { local, "lipid-bolus": bolus, "lipid-infusion": infusion } = doses;
  const weights = [45, 70, 130];
  expect(weights.map((weight) => at(local?.mass, { weight }))).toEqual(["135", "200", "200"]);
  expect(weights.map((weight) => at(local?.volume, { weight }))).toEqual(["27", "40", "40"]);
  expect([local?.over?.shortest.toString(), local?.over?.longest?.toString()]).toEqual(["90", "180"]);
  // UK theatre emergency card: at 70 kg a bolus of 105 mL, 17.5 mL/min and at most 840 mL.
  expect(at(bolus?.volume, { weight: 70 })).toBe("105");
  expect([bolus?.repeat?.times, bolus?.repeat && inBase(bolus.repeat.interval).toString()]).toEqual([
    2,
    "300",
  ]);
  expect(
    rational(at(infusion?.rate?.expression, { weight: 70 }) ?? "0")
      .mul(60)
      .toString(),
  ).toBe("17.5");
  expect(at(infusion?.total?.expression, { weight: 70 })).toBe("840");
  expect([local?.emergency, bolus?.emergency]).toEqual([undefined, "toxicity"]);
});

test("the timer, in seconds from the end of the injection", () => {
  const [hold] = protocol().timers;
  expect(hold?.from).toMatchObject({ kind: "end", target: "local" });
  expect([hold?.atLeast, hold?.atMost].map((bound) => bound && inBase(bound).toString())).toEqual([
    "1800",
    "3000",
  ]);
});

test("what is prepared", () => {
  expect(protocol().preparation?.items).toMatchObject([
    { kind: "iv-access", place: "other-limb" },
    { kind: "monitoring", monitors: ["ecg", "spo2", "nibp"], every: { unit: { symbol: "min" } } },
    { kind: "at-hand", agents: [{ name: "lipid-emulsion" }], texts: [] },
    { kind: "staff", count: 2 },
    { kind: "site-marked" },
  ]);
});

/** A step on a line, what is inside it indented under it. */
function outline(steps: readonly Step[], indent = ""): string[] {
  return steps.flatMap((step) => {
    const inner = "steps" in step ? outline(step.steps, `${indent}  `) : [];
    const handlers =
      step.kind === "stage" ? step.handlers.flatMap((one) => handlerOutline(one, `${indent}  `)) : [];
    return [`${indent}${words(step)}`, ...inner, ...handlers];
  });
}

function handlerOutline(handler: Handler, indent: string): string[] {
  const when =
    handler.kind === "event"
      ? `when ${handler.event}${handler.times === undefined ? "" : ` ${handler.times}x`}`
      : `when ${handler.timer} reaches ${inBase(handler.limit)} s`;
  return [`${indent}${when}`, ...outline(handler.steps, `${indent}  `)];
}

function words(step: Step): string {
  switch (step.kind) {
    case "inflate":
    case "confirm":
      return `${step.kind} ${step.cuffs.kind === "all" ? "all" : step.cuffs.name}`;
    case "deflate": {
      const flat = step.flatFor ? ` for ${inBase(step.flatFor)} s` : "";
      const reason = step.forEmergency ? " for emergency" : "";
      return `deflate ${step.cuffs.kind === "all" ? "all" : step.cuffs.name}${flat}${reason}`;
    }
    case "inject":
      return `inject ${step.dose}`;
    case "give":
      return `give ${step.dose}${step.as ? ` as ${step.as}` : ""}`;
    case "exsanguinate":
      return `exsanguinate ${step.method}${step.duration ? ` ${step.duration.shortest} s` : ""}`;
    case "wait":
    case "watch":
    case "recovery":
      return `${step.kind} ${step.duration.shortest} to ${step.duration.longest} s`;
    case "wait-for":
      return `wait-for ${step.timer}`;
    case "task":
      return `task ${step.topic ?? "-"}${step.takes ? ` ${step.takes.shortest} s to ${step.takes.longest ?? "any"}` : ""}`;
    case "repeat":
      return `repeat ${step.times}`;
    case "do":
      return `do ${step.routine}`;
    case "stage":
      return `stage ${step.name}`;
    case "go-to-emergency":
      return `go-to-emergency ${step.emergency}`;
    default:
      return step.kind;
  }
}

test("the steps, the handlers and the emergency, in their order and nesting", () => {
  const { steps, throughout, emergencies } = protocol();
  expect(outline(steps ?? [])).toEqual([
    "apply-cuffs",
    "task pause",
    "insert-cannula",
    "exsanguinate elevation 60 s",
    "exsanguinate bandage",
    "inflate distal",
    "confirm distal",
    "inflate proximal",
    "confirm proximal",
    "deflate distal",
    "remove-bandage",
    "confirm-no-pulse",
    "task cannula-check",
    "inject local",
    "remove-cannula",
    "wait 300 to 300 s",
    "stage procedure",
    "  task - 300 s to any",
    "  when tourniquet-pain 1x",
    "    inflate distal",
    "    confirm distal",
    "    deflate proximal",
    "  when systolic-rises",
    "    task - 10 s to 60",
    "  when hold reaches 2100 s",
    "    task anaesthetic-decision",
    "  when hold reaches 2700 s",
    "    end-stage",
    "wait-for hold",
    "do staged-release",
    "  repeat 2",
    "    deflate all for 10 s",
    "    watch 60 to 60 s",
    "  deflate all",
    "recovery 1800 to 1800 s",
  ]);
  expect(throughout.flatMap((handler) => handlerOutline(handler, ""))).toEqual([
    "when toxicity-signs",
    "  go-to-emergency toxicity",
    "when cuff-leak",
    "  inflate all",
    "  confirm all",
  ]);
  expect(emergencies.flatMap((emergency) => [emergency.name, ...outline(emergency.steps, "  ")])).toEqual([
    "toxicity",
    "  task help",
    "  task oxygen",
    "  task seizure",
    "  task arrest",
    "  give lipid-bolus",
    "  give lipid-infusion",
    "  task cuff-decision 10 s to 300",
  ]);
});

test("the agents of the formulary", () => {
  expect(protocol().agents.map(({ name, kind, atc }) => [name, kind?.value, atc?.value])).toEqual([
    ["lidocaine", "local-anaesthetic", "N01BB02"],
    ["lipid-emulsion", "rescue", "B05BA02"],
    ["bupivacaine", "local-anaesthetic", "N01BB01"],
  ]);
  const [lidocaine] = protocol().agents;
  expect(lidocaine?.concentrations.map((one) => inBase(one).toString())).toEqual(["5"]);
  expect(lidocaine?.maxima.map(({ limit }) => `${limit.value} ${limit.unit.symbol}`)).toEqual([
    "4 mg/kg",
    "300 mg",
  ]);
});

test("every element says where it is written", () => {
  const { doses, timers, cuffs, emergencies } = protocol();
  const places = [...doses, ...timers, ...emergencies].map(({ nameOrigin }) => nameOrigin);
  const text = readFileSync(join(BASE, "protocol.limb"), "utf8");
  expect(places.map(({ start, end }) => text.slice(start.offset, end.offset))).toEqual([
    "local",
    "lipid-bolus",
    "lipid-infusion",
    "hold",
    "toxicity",
  ]);
  expect(cuffs?.origin.file).toBe("protocol.limb");
});
