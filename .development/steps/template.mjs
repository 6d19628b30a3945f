import { readFileSync } from "node:fs";
import { join } from "node:path";
import { BANNER, fillFolder, root } from "./files.mjs";

const TEMPLATE = join(root, "language/outputs/template");

const SNIPPETS = join(root, "language/editor/statement-templates.ts");

/**
 * Texts of the templates that a protocol may keep as they are: they say what is so at every hospital. All others stand there for
 * the author to replace.
 */
const MAY_STAY = new Set([
  "formulary.limb",
  "Allergy to an amide local anaesthetic",
  "Sickle cell disease or trait",
  "Severe peripheral vascular disease of the limb",
  "Systolic over 180 mmHg",
  "N01BB02",
  "saline 0.9 %",
  "grey",
  "white",
  "Local anaesthetic systemic toxicity",
  "still unstable",
  "Stop. Call for help.",
  "Stop. Call for help. A cuff that is up stays up.",
  "Oxygen, airway",
  "Fitting: stop the seizure",
  "No pulse: resuscitate; it may take over an hour",
  "Patient, limb, drug and dose read aloud",
  "In the blocked limb; nothing else is connected",
  "Raise the cuff pressure by as much as systolic has risen",
  "Press on the puncture",
  "Will it end in time? If not, another anaesthetic",
  "anaesthetist",
  "Cuff release is decided by the anaesthetist in charge",
]);

/** The texts of the template of a protocol, and those that the editor's statements have between quotes of the language, that nobody may leave. */
export function textsToReplace() {
  const template = [
    ...read(join(TEMPLATE, "protocol.limb"))
      .replaceAll(/^ *\/\/.*$/gm, "")
      .matchAll(/"([^"]*)"/g),
  ];
  const snippets = [...read(SNIPPETS).matchAll(/"\$\{\d+:([^}]*)\}"(?=['\s\\])/g)];
  const texts = [...template, ...snippets].map(([, text]) => text);
  return [...new Set(texts)].filter((text) => !MAY_STAY.has(text)).sort();
}

/** Takes the files that a new protocol starts from into the sources. */
export function generateTemplate() {
  const texts = ["protocol", "formulary"].map((name) => {
    const text = read(join(TEMPLATE, `${name}.limb`));
    return `export const ${name} = ${JSON.stringify(text)};\n`;
  });
  fillFolder(join(TEMPLATE, "generated"), { "texts.ts": `${BANNER}${texts.join("")}` });
}

function read(path) {
  return readFileSync(path, "utf8").replaceAll("\r\n", "\n");
}
