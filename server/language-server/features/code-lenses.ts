import { rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";

/** Above each protocol, whether its rules hold. */
export const codeLenses: Feature = {
  offers: () => ({ codeLensProvider: { resolveProvider: false } }),
  register: (service) => {
    service.connection.onCodeLens((params) =>
      inText(service, params, (asked) =>
        service.checker.statesOf(asked).map(({ judged, words, state }) => ({
          range: rangeOf(judged.nameOrigin),
          // A title without a command behind it: clients show it, and nothing happens on a click.
          command: { title: state === "stale" ? `${words} …` : words, command: "" },
        })),
      ),
    );
  },
};
