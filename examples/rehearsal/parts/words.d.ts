import type { DoseForPatient } from "@limbwright/shared/runtime";

/** What a dose is for the patient of a case: "lidocaine, 36 mL (180 mg)". */
export function dose(
  now: { readonly dose: (name: string) => DoseForPatient | undefined },
  name: string,
): string | undefined;
