import { FORMULARY_TEMPLATE, protocolTemplate } from "@limbwright/language";

export const FORMULARY = FORMULARY_TEMPLATE;

/** What an author of the example hospital writes in place of the words of the template. */
const WRITTEN = [
  ["The name of your hospital", "Tarn Hollow Hospital"],
  ["The role that answers for this protocol", "Anaesthesia lead"],
  ["What it is for, and for how long", "Closed reduction, expected to take under 40 min"],
  ["What is done to the limb", "Reduce and splint"],
] as const;

/** A protocol in which no rule that this version judges finds anything. */
export function cleanProtocol(name = "wrist", formulary = "formulary.limb"): string {
  return WRITTEN.reduce((text, [part, by]) => replaced(text, part, by), untouchedTemplate(name, formulary));
}

/** The template as it comes. */
function untouchedTemplate(name = "wrist", formulary = "formulary.limb"): string {
  return protocolTemplate({ name, title: "Wrist", place: "upper-arm", formulary, reviewBy: "2027-11-25" });
}

/** One in which only `dose-over-maximum` is found: 40 mL of 0.5 % are too much under 50 kg. */
export function overdosingProtocol(name = "wrist", formulary = "formulary.limb"): string {
  return replaced(cleanProtocol(name, formulary), "amount 3 mg/kg up to 200 mg", "amount 40 mL");
}

/** One in which only `requirement-broken` is found: no run keeps what the hospital asks for. It is unsafe, and can be accepted. */
export function breakingItsOwnProtocol(name = "wrist", formulary = "formulary.limb"): string {
  return replaced(
    cleanProtocol(name, formulary),
    "  emergency toxicity",
    '  require "One cuff at a time" {\n    never proximal up and distal up\n  }\n\n  emergency toxicity',
  );
}

/** One in which a dose may be topped up twice, which is too much for those under 50 kg. */
export function toppedUpProtocol(name = "wrist"): string {
  const changes = [
    ["amount 3 mg/kg up to 200 mg", "amount 2 mg/kg up to 150 mg"],
    [
      "  timer hold",
      "  dose top-up of lidocaine at 0.5 % {\n    amount 50 mg\n    over   90 s\n  }\n\n  timer hold",
    ],
    ['    remove cannula "Press on the puncture"\n', ""],
    [
      "      when tourniquet-pain",
      "      when block-incomplete up to 2 times {\n        inject top-up\n      }\n      when tourniquet-pain",
    ],
  ] as const;
  return changes.reduce((text, [part, by]) => replaced(text, part, by), cleanProtocol(name));
}

/** One in which, at the swap, the cuff that is up is let down before the other is inflated. */
export function swappedProtocol(name = "wrist"): string {
  const order = (steps: readonly string[]) => steps.map((step) => `        ${step}\n`).join("");
  return replaced(
    cleanProtocol(name),
    order(["inflate distal", "confirm distal", "deflate proximal"]),
    order(["deflate proximal", "inflate distal", "confirm distal"]),
  );
}

/** One in which only `trailing-zero` is found, which is doubtful. */
export function doubtfulProtocol(name = "wrist"): string {
  return replaced(cleanProtocol(name), "over   90 s to 3 min", "over   90 s to 3.0 min");
}

/** One in which only `dose-without-cap` is found, which is advice. */
export function advisedProtocol(name = "wrist"): string {
  const light = replaced(cleanProtocol(name), "45 to 130 kg", "45 to 66 kg");
  return replaced(light, "amount 3 mg/kg up to 200 mg", "amount 3 mg/kg");
}

/** A text with one part of it in other words; throws when that part is not there. */
export function replaced(text: string, part: string, by: string): string {
  if (!text.includes(part)) throw new Error(`the text has no "${part}"`);
  return text.replace(part, by);
}
