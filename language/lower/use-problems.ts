import type { LangiumDocument, LangiumDocuments } from "langium";
import type { Use } from "../grammar/generated/ast.ts";
import { climbsOut, findUsedDocuments, uriOfUse, usesOf } from "../grammar/uses.ts";
import type { Problem } from "../model/index.ts";
import type { Lowering } from "./context.ts";

/** What is wrong with the `use` statements of a file; `isMissing` tells of a file whether it is not there. */
export function useProblems(
  lowering: Lowering,
  document: LangiumDocument,
  documents: LangiumDocuments,
  isMissing: (file: string) => boolean,
): Problem[] {
  const { fileOf } = lowering.context;
  const problemOf = (use: Use): Problem | undefined => {
    if (use.path === undefined) return undefined;
    const origin = lowering.originOfProperty(use, "path");
    const uri = uriOfUse(document, use);
    if (!uri) {
      return {
        rule: "use-not-found",
        origin,
        what: `\`${use.path}\` is not the path of a file beside this one.`,
        label: "not a relative path",
        next: 'Write the path from this file to the other, with / between folders, such as `"../formulary.limb"`.',
      };
    }
    if (climbsOut(document.uri, use.path)) {
      return {
        rule: "use-leaves-workspace",
        origin,
        what: `\`${use.path}\` lies outside the workspace, and is not read.`,
        label: "outside the workspace",
        next: "Move the file into the workspace, or check from the folder that holds both.",
      };
    }
    if (isMissing(fileOf(uri))) {
      return {
        rule: "use-not-found",
        origin,
        what: `There is no file \`${fileOf(uri)}\`, or it cannot be read.`,
        label: "no such file",
        next: "Check the spelling. The path starts from the folder of this file.",
      };
    }
    const used = documents.getDocument(uri);
    const leadsBack = used && (used === document || findUsedDocuments(used, documents).includes(document));
    if (!leadsBack) return undefined;
    return {
      rule: "use-in-a-circle",
      origin,
      what: used === document ? "The file uses itself." : `\`${use.path}\` uses this file in turn.`,
      label: "goes round in a circle",
      next: "Move what both need into a third file, and let both use that one.",
    };
  };
  return usesOf(document)
    .map(problemOf)
    .filter((problem) => problem !== undefined);
}
