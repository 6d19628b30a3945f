import { CAUTION } from "@limbwright/language/editor";
import { RUN, type RunAsked, type RunToStepThrough } from "@limbwright/shared/editor";
import { overlaps, rangeOf } from "../places.ts";
import { type Feature, inText } from "../service.ts";
import { stepsShown } from "../steps-shown.ts";

/** The run that a finding shows, step by step with the places in the text. */
export const run: Feature = {
  offers: () => ({ experimental: { run: true } }),
  register: (service) => {
    service.connection.onRequest(RUN, ({ uri, rule, range }: RunAsked): RunToStepThrough | null =>
      inText(service, { textDocument: { uri } }, (asked) => {
        const finding = service.checker
          .findingsOf(asked)
          .find((one) => one.rule === rule && one.run && overlaps(rangeOf(one.origin), range));
        if (!finding?.run) return null;
        const steps = stepsShown(asked.folder, finding.run);
        return { rule, what: finding.what, isStale: finding.stale ?? false, steps, caution: CAUTION };
      }),
    );
  },
};
