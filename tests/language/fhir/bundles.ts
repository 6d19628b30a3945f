import { type FhirCompiled, fhirBundlesOf, Site } from "@limbwright/language";
import { ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";

export type WrittenBundle = Extract<FhirCompiled, { kind: "written" }> & { readonly file: string };

/** The Bundle of every example that can be written, flawed ones as drafts, with the file it is from. */
export function exampleBundles(): WrittenBundle[] {
  const texts = exampleTexts();
  const site = new Site((file) => texts.get(file));
  return [...texts.keys()].flatMap((file) => {
    const draft = file.startsWith("flawed/");
    const all = fhirBundlesOf(site, file, { on: ON, draft }) ?? [];
    return all.flatMap((one) => (one.kind === "written" ? [{ ...one, file }] : []));
  });
}
