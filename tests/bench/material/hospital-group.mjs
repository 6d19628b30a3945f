import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PROTOCOL, SITE } from "./paths.mjs";

const PROTOCOLS_PER_HOSPITAL = 25;

/**
 * Writes a group of invented hospitals into a new folder: each has its own formulary and local rules and 25
 * protocols, which differ in name, weights, dose and times. Gives the folder; the caller removes it.
 */
export function hospitalGroup(protocols) {
  const group = mkdtempSync(join(tmpdir(), "limb-hospital-group-"));
  const text = readFileSync(PROTOCOL, "utf8");
  for (let index = 0; index < protocols; index++) {
    const hospital = join(group, `hospital-${Math.floor(index / PROTOCOLS_PER_HOSPITAL) + 1}`);
    if (index % PROTOCOLS_PER_HOSPITAL === 0) {
      mkdirSync(hospital);
      cpSync(SITE, hospital, { recursive: true });
      rmSync(join(hospital, "wrist-reduction.limb"));
    }
    writeFileSync(join(hospital, `wrist-reduction-${index + 1}.limb`), variant(text, index));
  }
  return group;
}

/** The same protocol with other numbers, so that no answer can be taken from another protocol. */
function variant(text, index) {
  return replaced(
    replaced(
      replaced(text, "protocol wrist-reduction ", `protocol wrist-reduction-${index + 1} `),
      "weight   45 to 130 kg",
      `weight   ${40 + (index % 20)} to ${100 + (index % 31)} kg`,
    ),
    "amount 3 mg/kg up to 200 mg",
    `amount ${(2 + (index % 10) / 10).toFixed(1).replace(".0", "")} mg/kg up to ${150 + (index % 50)} mg`,
  );
}

function replaced(text, from, to) {
  if (!text.includes(from)) {
    throw new Error(`The benchmark's protocol has no line "${from}" any more.`);
  }
  return text.replace(from, to);
}
