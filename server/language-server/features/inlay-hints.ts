import { inlaysOf } from "@limbwright/language/editor";
import type { InlayHint } from "vscode-languageserver";
import { envelopesAt } from "../checking/envelopes-at.ts";
import { overlaps, positionOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

/** What amounts are over all patients, and times over all runs, shown in the text. */
export const inlayHints: Feature = {
  offers: () => ({ inlayHintProvider: true }),
  register: (service) => {
    service.connection.languages.inlayHint.on((params) =>
      inText(service, params, (asked) =>
        inlaysOf(asked.site, asked.file, envelopesAt(service.checker, asked)).flatMap(
          ({ place, text, tooltip }): InlayHint[] => {
            const position = positionOf(place);
            return overlaps({ start: position, end: position }, params.range)
              ? [{ position, label: text, tooltip, paddingLeft: true }]
              : [];
          },
        ),
      ),
    );
  },
};
