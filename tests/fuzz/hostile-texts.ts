/** Just under the longest text that is read. */
const LONGEST = 999_999;

function filled(unit: string, characters: number): string {
  return unit.repeat(Math.ceil(characters / unit.length)).slice(0, characters);
}

const inSteps = (body: string) => `protocol a {\nsteps {\n${body}\n}\n}\n`;
const inAmount = (amount: string) => `protocol a {\ndose b of c {\namount ${amount}\n}\n}\n`;
const inRequirement = (condition: string) => `protocol a {\nrequire "b" {\nnever ${condition}\n}\n}\n`;

/**
 * Texts that would take a naive reader very long, or overflow its stack: one mark, word or statement
 * over and over, `characters` of it, alone and where it could stand. All of them together are long, so each is made when it is
 * asked for.
 */
export function hostileTexts(characters = LONGEST): ReadonlyMap<string, () => string> {
  const fill = (unit: string) => filled(unit, characters);
  const repeated = [
    "x {",
    "x {\n",
    "x }\n",
    "x\n",
    "x { y\n}\n",
    "{",
    "}",
    "{}",
    "{\n}\n",
    "}\n",
    "(",
    "()",
    ")",
    '"',
    '""',
    '"\n',
    '"a" ',
    '"\\',
    "\u201c",
    "// c\n",
    "//",
    "/",
    " ",
    "\n",
    "\r",
    "\r\n",
    "\t",
    "\u0000",
    "\ufeff",
    "9",
    "1 ",
    "1 mg ",
    "1.",
    "1,1",
    "1-",
    "2027-06-30 ",
    "a",
    "a-",
    "a ",
    "mg/",
    "systolic-1",
    "use ",
    'use "a"\n',
    'use "hostile.limb"\n',
    "agent a {\n",
    "agent a { }\n",
    "agent { }\n",
    "dose\n",
    "inflate\n",
    "inflate a\n",
    "inflate all ",
    "inflate all\n",
    "steps {\n inflate\n}\n",
    "steps {\n inflate a b\n}\n",
    "timer a from\n",
    "protocol a {\n",
    "protocol a { }\n",
    "protocol a {\n}\n}\n",
    "local-rules a {\nset b 1 mg\n}\n",
    "routine a { do a }\n",
    'scenario "a" for a { }\n',
    "event a\n",
    'ask "a" { yes { } no { } }\n',
    "\ud800",
    "\u00b5g",
    "amount 3\n",
    "finsh\n",
    "finish // c\n",
    "when a {\n}\n",
  ];
  const chains: readonly (readonly [string, (amount: string) => string, string, string])[] = [
    ["sums", inAmount, "1 mg + ", "1 mg"],
    ["halves", inAmount, "half of ", "1 mg"],
    ["shares", inAmount, "10 % of ", "1 mg"],
    ["choices to the left", inAmount, "lesser of ", "1 mg"],
    ["choices to the right", inAmount, "lesser of 1 mg and ", "1 mg"],
    ["caps", inAmount, "1 mg up to ", "1 mg"],
    ["roundings", inAmount, "1 mg rounded down to ", "1 mg"],
    ["tables in tables", inAmount, "by weight { under 1 kg ", "1 mg"],
    ["digits", inAmount, "9", " mg"],
    ["decimals", inAmount, "0.", "1 mg"],
    ["rows", inAmount, "by weight { 1 kg to 2 kg 1 mg\n", "}"],
    ["different rows", inAmount, "by weight { 1 kg to 2 kg by age { 2 years and under systolic }\n", "}"],
    ["denials", inRequirement, "not ", "occluded"],
    ["alternatives", inRequirement, "occluded or ", "occluded"],
    ["both", inRequirement, "a up and ", "occluded"],
    ["notes", inSteps, 'by "a" ', ""],
    ["notes of a step", inSteps, 'wait 1 min "a" ', ""],
    ["steps", inSteps, "inflate a\n", ""],
    ["stages", inSteps, "stage a { end stage a }\n", ""],
    ["unknown steps", inSteps, "inflat a\n", ""],
    ["blocks without a brace", inSteps, "repeat 2 times\n", ""],
    ["openings", inSteps, "repeat 2 times {\n", ""],
    ["questions", inSteps, 'ask "a" {\n', ""],
    ["handlers", inSteps, "when a\n", ""],
  ];
  return new Map([
    ...repeated.map((unit) => [`${JSON.stringify(unit)} over and over`, () => fill(unit)] as const),
    ...chains.map(
      ([name, within, unit, end]) => [`a chain of ${name}`, () => within(fill(unit) + end)] as const,
    ),
  ]);
}
