import type { Template } from "@limbwright/shared/editor";

const BEGINNING = `// An example to try things on
// It has a mistake: 40 mL for everybody. Rest the pointer on the underlined words.
// Nothing here is saved until you save it.

`;

/** The template in one text with its formulary, and with the mistake of drawing up the same syringe for everybody. */
export function firstProtocol({ protocol, formulary }: Template): string {
  const mistaken = protocol.slice(protocol.search(/^protocol /m)).replace(/^( {4}amount ).*$/m, "$140 mL");
  return `${BEGINNING}${mistaken}\n${formulary}`;
}
