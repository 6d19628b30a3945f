import { quantitiesOnPaper } from "@limbwright/shared/quantity";

/**
 * The same sheet with every text as it stands on paper, whatever piece it belongs to, so that no new one can be forgotten. What
 * leads to a line of the text stays as it is.
 */
export function textsOnPaper<Part>(part: Part): Part {
  if (typeof part === "string") return quantitiesOnPaper(part) as Part & string;
  if (Array.isArray(part)) return part.map(textsOnPaper) as Part & unknown[];
  if (typeof part !== "object" || part === null || ("file" in part && "line" in part)) return part;
  return Object.fromEntries(
    Object.entries(part).map(([name, inner]) => [name, textsOnPaper(inner)]),
  ) as Part & object;
}
