import { compileFile, type FhirCompiled, fhirBundlesOf, Site } from "@limbwright/language";
import type { RuleFile } from "@limbwright/shared/rule-file";
import type { Bundle } from "../../../language/outputs/fhir/resources.ts";
import { baseTexts, fileFrom, ON } from "../rule-file/compiled.ts";
import { exampleTexts } from "../rule-file/example-site.ts";

export interface WrittenBundle {
  readonly protocol: string;
  readonly text: string;
  readonly bundle: Bundle;
  readonly notCoded: Extract<FhirCompiled, { kind: "written" }>["notCoded"];
  /** The rule file of the same protocol, compiled when it is asked for. */
  readonly ruleFile: () => RuleFile;
}

/** The Bundle of every example in these folders that can be written, flawed ones as drafts. */
export function exampleBundles(...folders: readonly string[]): WrittenBundle[] {
  const texts = exampleTexts();
  const files = [...texts.keys()].filter((file) => folders.some((folder) => file.startsWith(`${folder}/`)));
  return files.flatMap((file) => bundlesFrom(texts, file, { draft: file.startsWith("flawed/") }));
}

/** The Bundle of the base example with changes in its text, pairs of words replaced; fails where it is refused. */
export function baseBundle(
  changes: readonly (readonly [from: string, to: string])[] = [],
  options: { readonly draft?: boolean } = {},
): WrittenBundle {
  const protocol = changes.reduce((text, [from, to]) => {
    if (!text.includes(from)) throw new Error(`the example does not say ${from}`);
    return text.replace(from, to);
  }, baseTexts().get("protocol.limb") ?? "");
  const [only] = bundlesFrom(baseTexts({ "protocol.limb": protocol }), "protocol.limb", options);
  if (!only) throw new Error("the protocol is refused");
  return only;
}

export function bundlesFrom(
  texts: ReadonlyMap<string, string>,
  file: string,
  options: { readonly draft?: boolean; readonly on?: string },
): WrittenBundle[] {
  const site = new Site((name) => texts.get(name));
  const bundles = fhirBundlesOf(site, file, { on: ON, ...options }) ?? [];
  return bundles.flatMap((one, at) => {
    if (one.kind === "refused") return [];
    const ruleFile = () => {
      const compiled = compileFile(site, file, { on: ON, ...options })?.[at];
      if (compiled?.kind !== "written") throw new Error(`${file} is refused as a rule file`);
      return fileFrom(compiled.text);
    };
    const { protocol, text, notCoded } = one;
    return [{ protocol, text, notCoded, bundle: JSON.parse(text), ruleFile }];
  });
}

export function planOf({ bundle }: Pick<WrittenBundle, "bundle">) {
  const plan = bundle.entry[0]?.resource;
  if (plan?.resourceType !== "PlanDefinition") throw new Error("the first entry is no PlanDefinition");
  return plan;
}
