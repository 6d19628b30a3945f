import { CAUTION, sampleAmounts } from "@limbwright/language/editor";
import { PREVIEW, type PreviewAsked, type PreviewModel } from "@limbwright/shared/editor";
import type { StateAtProtocol } from "../checking/proof-states.ts";
import { rangeOf } from "../places.ts";
import { type AskedText, atPlace, type Feature } from "../service.ts";

/** What a preview shows of the protocol under the cursor, or of the first one. */
export const preview: Feature = {
  offers: () => ({ experimental: { preview: true } }),
  register: (service) => {
    service.connection.onRequest(PREVIEW, ({ uri, position }: PreviewAsked): PreviewModel | null =>
      atPlace(service, { textDocument: { uri }, position }, ({ offset, ...asked }) => {
        const states = service.checker.statesOf(asked);
        const started = states.filter(({ judged }) => judged.nameOrigin.start.offset <= offset);
        const state = started.at(-1) ?? states[0];
        return state ? modelOf(asked, state, service.checker.findingsOf(asked)) : null;
      }),
    );
  },
};

function modelOf(
  { site, file, document }: AskedText,
  { judged, protocol: name, state, words }: StateAtProtocol,
  findings: PreviewModel["findings"],
): PreviewModel {
  const protocol = site.file(file)?.protocols.find((one) => one.name === name);
  const times = state === "stale" ? undefined : timesOf(judged.envelope);
  return {
    uri: document.uri,
    protocol: name,
    ...(protocol?.title !== undefined && { title: protocol.title }),
    range: rangeOf(protocol?.origin ?? judged.nameOrigin),
    state,
    words,
    findings: findings.filter((finding) => finding.protocol === undefined || finding.protocol === name),
    verdicts: judged.verdicts,
    ...(times && { times }),
    doses: (protocol?.doses ?? []).map((dose) => ({
      name: dose.name,
      samples: protocol ? sampleAmounts(protocol, dose) : [],
    })),
    caution: CAUTION,
  };
}

function timesOf(envelope: StateAtProtocol["judged"]["envelope"]): PreviewModel["times"] {
  if (!envelope) return undefined;
  const { release, occlusion } = envelope;
  return {
    ...(release && {
      release: {
        earliest: release.earliest.seconds,
        ...(release.latest && { latest: release.latest.seconds }),
      },
    }),
    ...(occlusion && {
      occlusion: {
        shortest: occlusion.shortest.seconds,
        ...(occlusion.longest && { longest: occlusion.longest.seconds }),
      },
    }),
  };
}
