import { checkFiles, Site } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import { exactText, rational } from "@limbwright/shared/quantity";
import type { Dose, Protocol } from "../../language/model/index.ts";
import { evaluate, type Patient } from "../../language/population/index.ts";

/** What a published dose is about; whatever is left out does not matter to it. */
export interface PublishedDose {
  readonly agent: string;
  readonly concentration: string;
  readonly amount: string;
  readonly maxima?: readonly string[];
  readonly patients?: readonly string[];
  readonly place?: string;
  readonly entries?: readonly string[];
}

/** A protocol that injects the dose and is otherwise like any other. */
export function protocolWith(dose: PublishedDose): string {
  const maxima = (dose.maxima ?? []).map((maximum) => `  maximum ${maximum}`);
  const patients = dose.patients ?? ["age 18 to 80 years", "weight 45 to 130 kg", "systolic 90 to 180 mmHg"];
  return [
    `agent ${dose.agent} {`,
    "  kind local-anaesthetic",
    `  concentration ${dose.concentration}`,
    "  plain",
    "  preservative-free",
    ...maxima,
    '  source "The publication named beside the check"',
    "}",
    'protocol worked "A published dose" {',
    "  version 1.0.0",
    "  status draft",
    `  patients {\n    ${patients.join("\n    ")}\n  }`,
    `  cuffs proximal "A", distal "B" on ${dose.place ?? "upper-arm"} {`,
    "    pressure systolic + 100 mmHg",
    "    ceiling 300 mmHg",
    "  }",
    `  dose local of ${dose.agent} {`,
    `    amount ${dose.amount}`,
    ...(dose.entries ?? ["over 2 min"]).map((entry) => `    ${entry}`),
    "  }",
    "  steps {\n    inject local\n  }",
    "}",
    "",
  ].join("\n");
}

/** Everything that is found in a text, and the protocol it declares. */
export function check(text: string): { readonly findings: readonly Finding[]; readonly protocol: Protocol } {
  const site = new Site((file) => (file === "worked.limb" ? text : undefined));
  const [result] = [...checkFiles(site, ["worked.limb"], { on: "2026-11-25" })];
  const protocol = result?.protocols[0]?.protocol;
  if (!result || !protocol) throw new Error("the text declares no protocol");
  return { findings: result.findings, protocol };
}

/** The findings of one rule. */
export function findingsOf(rule: string, text: string): Finding[] {
  return check(text).findings.filter((finding) => finding.rule === rule);
}

/** A dose of the text by its name. */
export function doseOf(text: string, name = "local"): Dose {
  const dose = check(text).protocol.doses.find((one) => one.name === name);
  if (!dose) throw new Error(`the text declares no dose ${name}`);
  return dose;
}

/** A patient from numbers in text: weight in kg, age in years, systolic in mmHg. */
export function patient(values: Readonly<Record<string, string>>): Patient {
  return Object.fromEntries(Object.entries(values).map(([variable, value]) => [variable, rational(value)]));
}

/** The mass (mg) and volume (mL) for a patient, as exact texts. */
export function given(dose: Dose, of: Patient): { readonly mg?: string; readonly mL?: string } {
  const mass = dose.mass && evaluate(dose.mass, of);
  const volume = dose.volume && evaluate(dose.volume, of);
  return { ...(mass && { mg: exactText(mass) }), ...(volume && { mL: exactText(volume) }) };
}
