import { readFileSync } from "node:fs";
import { join } from "node:path";
import { BANNER, fillFolder, root } from "./files.mjs";

const TEMPLATE = join(root, "language/outputs/template");

/** Takes the files that a new protocol starts from into the sources. */
export function generateTemplate() {
  const texts = ["protocol", "formulary"].map((name) => {
    const text = readFileSync(join(TEMPLATE, `${name}.limb`), "utf8").replaceAll("\r\n", "\n");
    return `export const ${name} = ${JSON.stringify(text)};\n`;
  });
  fillFolder(join(TEMPLATE, "generated"), { "texts.ts": `${BANNER}${texts.join("")}` });
}
