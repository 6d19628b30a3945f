import { selectionsAt } from "@limbwright/language/editor";
import type { SelectionRange } from "vscode-languageserver";
import { rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

/** What a selection grows to, step by step. */
export const selectionRanges: Feature = {
  offers: () => ({ selectionRangeProvider: true }),
  register: (service) => {
    service.connection.onSelectionRanges((params) =>
      inText(service, params, ({ site, file, document }) =>
        params.positions.map((position): SelectionRange => {
          const origins = selectionsAt(site, file, document.offsetAt(position));
          const start = { range: { start: position, end: position } };
          return (
            origins.reduceRight<SelectionRange | undefined>(
              (parent, origin) => ({ range: rangeOf(origin), ...(parent && { parent }) }),
              undefined,
            ) ?? start
          );
        }),
      ),
    );
  },
};
