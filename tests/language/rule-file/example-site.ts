import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";

const SITE = join(import.meta.dirname, "../../../examples/tarn-hollow");

/** Every .limb text of the example hospital, by its path in the site. */
export function exampleTexts(): Map<string, string> {
  const files = (readdirSync(SITE, { recursive: true }) as string[])
    .filter((file) => file.endsWith(".limb") && statSync(join(SITE, file)).isFile())
    .sort();
  return new Map(files.map((file) => [file.replaceAll("\\", "/"), readFileSync(join(SITE, file), "utf8")]));
}
