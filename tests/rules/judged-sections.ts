import type { Finding } from "@limbwright/shared/finding";
import { checkExample } from "./page-examples.ts";

/** What a rule says of sections laid over the base protocol: the patients of each finding, and its verdict. */
export function judged(
  rule: string,
  sections: string,
): { readonly findings: Finding[]; readonly verdict: string } {
  const { check } = checkExample(sections, { about: [rule] });
  const verdict = check.protocols[0]?.verdicts.find((one) => one.rule === rule);
  return {
    findings: check.findings.filter((finding) => finding.rule === rule),
    verdict: verdict?.kind ?? "no verdict",
  };
}

/** The patients of findings, in words. */
export function patientsOf({ findings }: { readonly findings: readonly Finding[] }): string[] {
  return findings.flatMap(({ patients }) => patients?.ranges ?? []);
}

/** Patients and cuffs that differ from the usual ones only in what a test is about. */
export interface Cuffs {
  readonly pressure: string;
  readonly systolic?: string;
  readonly place?: string;
  readonly ceiling?: string;
  readonly age?: string;
  readonly occlusion?: string;
  readonly circumference?: string;
  readonly fits?: string;
}

export function cuffed(cuffs: Cuffs): string {
  return `patients {
  age ${cuffs.age ?? "16 to 85 years"}
  weight 45 to 130 kg
  systolic ${cuffs.systolic ?? "90 to 180 mmHg"}
  circumference ${cuffs.circumference ?? "25 to 40 cm"}
}
cuffs proximal, distal on ${cuffs.place ?? "upper-arm"} {
  pressure ${cuffs.pressure}
  ceiling ${cuffs.ceiling ?? "300 mmHg"}
  fits ${cuffs.fits ?? "25 to 40 cm"}
  ${cuffs.occlusion === undefined ? "" : `occlusion by circumference {\n${cuffs.occlusion}\n  }`}
}`;
}
