import { protocol } from "./generated/texts.ts";

/** The places of a cuff for which there is a template. */
export const TEMPLATE_PLACES = ["upper-arm", "forearm", "calf", "thigh", "ankle"] as const;

export type TemplatePlace = (typeof TEMPLATE_PLACES)[number];

export interface TemplateOptions {
  /** The protocol's name: lower case with hyphens. */
  readonly name: string;
  readonly title: string;
  readonly place: TemplatePlace;
  /** The path of the formulary from the new file, with / between folders. */
  readonly formulary: string;
  /** When the protocol has to be read again, YYYY-MM-DD. */
  readonly reviewBy: string;
}

/**
 * Values to start from, which every rule passes: the limb, the ceiling of the cuffs, the concentration and the amount. They are
 * common practice, no source: the author decides each, and the rules judge what is decided by values with sources.
 */
const VALUES: Readonly<Record<TemplatePlace, readonly [string, string, string, string]>> = {
  "upper-arm": ["25 to 40 cm", "300 mmHg", "0.5 %", "3 mg/kg up to 200 mg"],
  forearm: ["20 to 34 cm", "300 mmHg", "0.5 %", "2 mg/kg up to 125 mg"],
  calf: ["28 to 45 cm", "300 mmHg", "0.25 %", "2 mg/kg up to 125 mg"],
  thigh: ["40 to 70 cm", "350 mmHg", "0.25 %", "3 mg/kg up to 250 mg"],
  ankle: ["18 to 30 cm", "300 mmHg", "0.25 %", "2 mg/kg up to 100 mg"],
};

/** A whole protocol with two cuffs and lidocaine, for its author to go through line by line. */
export function protocolTemplate({ name, title, place, formulary, reviewBy }: TemplateOptions): string {
  const [circumference, ceiling, concentration, amount] = VALUES[place];
  const written: readonly (readonly [line: string, own: string])[] = [
    ["review by 2027-06-30", `review by ${reviewBy}`],
    ["circumference 25 to 40 cm", `circumference ${circumference}`],
    ["on upper-arm", `on ${place}`],
    ["ceiling  300 mmHg", `ceiling  ${ceiling}`],
    ["fits     25 to 40 cm", `fits     ${circumference}`],
    ["lidocaine at 0.5 %", `lidocaine at ${concentration}`],
    ["amount 3 mg/kg up to 200 mg", `amount ${amount}`],
    // What the author typed comes last, so that nothing in it is taken for a line of the template.
    ['protocol new-protocol "The title"', `protocol ${name} "${title}"`],
    ['use "formulary.limb"', `use "${formulary}"`],
  ];
  return written.reduce((text, [line, own]) => {
    if (!text.includes(line)) throw new Error(`protocol.limb has no line with \`${line}\``);
    return text.replace(line, () => own);
  }, protocol);
}

/** The drugs that the template uses, for a folder that has no formulary yet. */
export { formulary as FORMULARY_TEMPLATE } from "./generated/texts.ts";
