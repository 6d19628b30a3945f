import { hoverAt } from "@limbwright/language/editor";
import { MarkupKind } from "vscode-languageserver";
import { envelopesAt } from "../checking/envelopes-at.ts";
import { rangeOf } from "../places.ts";
import { atPlace, type Feature } from "../service.ts";

/** What a term means, a dose at chosen patients, the times of a protocol, a rule with its sources. */
export const hover: Feature = {
  offers: () => ({ hoverProvider: true }),
  register: (service) => {
    service.connection.onHover((params) =>
      atPlace(service, params, ({ offset, ...asked }) => {
        const told = hoverAt(asked.site, asked.file, offset, envelopesAt(service.checker, asked));
        return told
          ? { contents: { kind: MarkupKind.Markdown, value: told.markdown }, range: rangeOf(told.origin) }
          : null;
      }),
    );
  },
};
