import { signatureAt } from "@limbwright/language/editor";
import { atPlace, type Feature } from "../service.ts";

/** The forms of an amount while one is written. */
export const signatureHelp: Feature = {
  offers: () => ({ signatureHelpProvider: { triggerCharacters: [" "] } }),
  register: (service) => {
    service.connection.onSignatureHelp((params) =>
      atPlace(service, params, ({ site, file, offset }) => {
        const found = signatureAt(site, file, offset);
        if (!found) return null;
        return {
          activeSignature: found.form,
          activeParameter: found.part,
          signatures: found.forms.map(({ label, says, parts }) => ({
            label,
            documentation: says,
            parameters: parts.map((part) => ({ label: part.label, documentation: part.says })),
          })),
        };
      }),
    );
  },
};
