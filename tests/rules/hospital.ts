import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, type FileCheck, Site } from "@limbwright/language";

function replaced(text: string, part: string, by: string): string {
  if (!text.includes(part)) throw new Error(`the text has no "${part}"`);
  return text.replace(part, by);
}

const BASE = join(import.meta.dirname, "base");
const base = (file: string) => readFileSync(join(BASE, file), "utf8");

export interface Hospital {
  /** The lines of its local rules. */
  readonly rules: string;
  /** The target pressure of the protocol; the base's own when left out. */
  readonly pressure?: string;
  /** The amount of the dose, and how long it is given over at least. */
  readonly amount?: string;
  readonly over?: string;
  /** What is changed in the text of the protocol. */
  readonly changes?: readonly (readonly [string, string])[];
  /** What is changed in the text of the formulary. */
  readonly formulary?: readonly (readonly [string, string])[];
  readonly status?: string;
  readonly on?: string;
  /** The files that are asked for, `protocol.limb` alone when left out. */
  readonly files?: readonly string[];
  /** Further protocols, by their name, with the amounts of their doses. */
  readonly others?: Readonly<Record<string, string>>;
}

export function checked({
  rules,
  pressure,
  amount,
  over,
  status,
  on,
  files,
  others,
  changes = [],
  formulary = [],
}: Hospital): FileCheck[] {
  const protocol = (name: string, dose: string) =>
    base("protocol.limb")
      .replace("protocol wrist-reduction", `protocol ${name}`)
      .replace(/pressure greater of .*/, `pressure ${pressure ?? "systolic + 100 mmHg"}`)
      .replace(/status +draft/, `status ${status ?? "draft"}`)
      .replace(/amount 3 mg\/kg up to 200 mg/, `amount ${dose}`)
      .replace("90 s to 3 min", `${over ?? "90 s"} to 3 min`);
  const texts = new Map([
    [
      "formulary.limb",
      formulary.reduce((text, [part, by]) => replaced(text, part, by), base("formulary.limb")),
    ],
    ["local-rules.limb", `local-rules tarn-hollow {\n${rules}\n}\n`],
    [
      "protocol.limb",
      changes.reduce(
        (text, [part, by]) => replaced(text, part, by),
        protocol("wrist-reduction", amount ?? "3 mg/kg up to 200 mg"),
      ),
    ],
    ...Object.entries(others ?? {}).map(([name, dose]) => [`${name}.limb`, protocol(name, dose)] as const),
  ]);
  const site = new Site((file) => texts.get(file));
  return [...checkFiles(site, files ?? ["protocol.limb"], { on: on ?? "2026-11-25" })];
}

export function findingsOf(hospital: Hospital, rule: string) {
  return checked(hospital).flatMap(({ findings }) => findings.filter((finding) => finding.rule === rule));
}

export function verdictOf(hospital: Hospital, rule: string): string | undefined {
  const [protocol] = checked(hospital).flatMap(({ protocols }) => protocols);
  return protocol?.verdicts.find((verdict) => verdict.rule === rule)?.kind;
}

export function errorsOf(hospital: Hospital): string[] {
  return checked(hospital).flatMap(({ findings }) =>
    findings.filter(({ severity }) => severity === "error").map(({ rule, what }) => `${rule}: ${what}`),
  );
}
