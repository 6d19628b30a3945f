import type { Origin, Place } from "@limbwright/shared/finding";
import { clockText } from "@limbwright/shared/quantity";
import type { Site } from "../lower/site.ts";
import { allSteps, type Protocol } from "../model/index.ts";
import { variablesOf } from "../population/index.ts";
import type { Envelope } from "../runs/index.ts";
import { findCoveredBox, spanOver } from "./sample-amounts.ts";

/** Words that an editor shows in the text after a place, without being of it. */
export interface Inlay {
  readonly place: Place;
  readonly text: string;
  readonly tooltip: string;
}

/** The times of a protocol's runs, where they are known for the text as it stands. */
export type EnvelopeOf = (protocol: string) => Envelope | undefined;

/** What amounts are over all patients, and what times are over all runs. */
export function inlaysOf(site: Site, file: string, envelopeOf: EnvelopeOf): Inlay[] {
  const protocols = site.file(file)?.protocols ?? [];
  return protocols
    .flatMap((protocol) => [...ofAmounts(protocol), ...ofTimes(protocol, envelopeOf(protocol.name))])
    .filter(({ origin }) => origin.file === file)
    .map(({ origin, text, tooltip }) => ({ place: origin.end, text, tooltip }))
    .sort((a, b) => a.place.offset - b.place.offset);
}

interface Told {
  readonly origin: Origin;
  readonly text: string;
  readonly tooltip: string;
}

function ofAmounts(protocol: Protocol): Told[] {
  const box = findCoveredBox(protocol);
  if (!box) return [];
  const doses = protocol.doses.flatMap(({ amount, mass, volume, agent }): Told[] => {
    if (!amount || variablesOf(amount.expression).length === 0) return [];
    // A rescue emulsion is thought of by volume alone.
    const masses = agent?.kind?.value === "rescue" && volume ? undefined : spanOver(mass, box, "mg");
    const spans = [masses, spanOver(volume, box, "mL")].filter(Boolean);
    return spans.length === 0
      ? []
      : [
          {
            origin: amount.origin,
            text: `→ ${spans.join(", ")}`,
            tooltip: "Over all patients of the protocol.",
          },
        ];
  });
  const pressure = protocol.cuffs?.pressure;
  const span = pressure && spanOver(pressure.expression, box, "mmHg");
  const isPlain = !pressure || variablesOf(pressure.expression).length === 0;
  return isPlain || !span
    ? doses
    : [
        ...doses,
        { origin: pressure.origin, text: `→ ${span}`, tooltip: "Over all patients of the protocol." },
      ];
}

function ofTimes(protocol: Protocol, envelope: Envelope | undefined): Told[] {
  const release = envelope?.release;
  const longest = envelope?.occlusion?.longest;
  const earliest = release
    ? `${release.earliest.attained ? "" : "over "}${clockText(release.earliest.seconds)}`
    : undefined;
  const bounds = protocol.timers.flatMap(({ atLeast, atMost }): Told[] => [
    ...(atLeast && earliest !== undefined
      ? [
          {
            origin: atLeast.origin,
            text: `earliest release ${earliest}`,
            tooltip: "After the end of the injection, over all runs.",
          },
        ]
      : []),
    ...(atMost && longest
      ? [
          {
            origin: atMost.origin,
            text: `longest occlusion ${longest.attained ? "" : "under "}${clockText(longest.seconds)}`,
            tooltip: "From the first inflation to the last deflation, over all runs.",
          },
        ]
      : []),
  ]);
  const waits = [...allSteps(protocol)].flatMap((step): Told[] => {
    const timer = step.kind === "wait-for" && protocol.timers.find(({ name }) => name === step.timer);
    if (!timer) return [];
    if (!timer.atLeast) return [];
    const until = clockText(timer.atLeast.value.mul(timer.atLeast.unit.perBase).valueOf());
    return [
      {
        origin: step.origin,
        text: `until ${until}`,
        tooltip: `Until \`${timer.name}\` has reached its least.`,
      },
    ];
  });
  return [...bounds, ...waits];
}
