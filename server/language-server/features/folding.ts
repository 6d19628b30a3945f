import { foldsOf } from "@limbwright/language/editor";
import { FoldingRangeKind } from "vscode-languageserver";
import { type Feature, inText } from "../service.ts";

/** Blocks, comments and `use` statements that can be folded away. */
export const folding: Feature = {
  offers: () => ({ foldingRangeProvider: true }),
  register: (service) => {
    service.connection.onFoldingRanges((params) =>
      inText(service, params, ({ site, file }) =>
        foldsOf(site, file).map(({ startLine, endLine, kind }) => ({
          startLine: startLine - 1,
          endLine: endLine - 1,
          ...(kind === "comment" && { kind: FoldingRangeKind.Comment }),
          ...(kind === "uses" && { kind: FoldingRangeKind.Imports }),
        })),
      ),
    );
  },
};
