import type { Origin, Place } from "@limbwright/shared/finding";
import { clockText, inBase } from "@limbwright/shared/quantity";
import type { Site } from "../lower/site.ts";
import { type Amount, allSteps, massUnitOf, type Protocol } from "../model/index.ts";
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

type Told = Omit<Inlay, "place"> & { readonly origin: Origin };

function tell({ origin }: { readonly origin: Origin }, text: string, tooltip: string): Told {
  return { origin, text, tooltip };
}

function ofAmounts(protocol: Protocol): Told[] {
  const box = findCoveredBox(protocol);
  if (!box) return [];
  const doses = protocol.doses.flatMap((dose) => {
    const { amount, mass, volume, agent } = dose;
    return tellSpans(amount, () => [
      // A rescue emulsion is thought of by volume alone.
      agent?.kind?.value === "rescue" && volume ? undefined : spanOver(mass, box, massUnitOf(dose)),
      spanOver(volume, box, "mL"),
    ]);
  });
  const pressure = protocol.cuffs?.pressure;
  return [...doses, ...tellSpans(pressure, () => [spanOver(pressure?.expression, box, "mmHg")])];
}

/** Nothing is told of an amount that is the same for everybody. */
function tellSpans(amount: Amount | undefined, spansOf: () => readonly (string | undefined)[]): Told[] {
  if (!amount || variablesOf(amount.expression).length === 0) return [];
  const spans = spansOf().filter(Boolean);
  return spans.length === 0
    ? []
    : [tell(amount, `→ ${spans.join(", ")}`, "Over all patients of the protocol.")];
}

function ofTimes(protocol: Protocol, envelope: Envelope | undefined): Told[] {
  const earliest = envelope?.release?.earliest;
  const longest = envelope?.occlusion?.longest;
  const bounds = protocol.timers.flatMap(({ atLeast, atMost }) => {
    const from = earliest && `${earliest.attained ? "" : "over "}${clockText(earliest.seconds)}`;
    const to = longest && `${longest.attained ? "" : "under "}${clockText(longest.seconds)}`;
    return [
      atLeast && from && tell(atLeast, `earliest release ${from}`, AFTER_INJECTION),
      atMost && to && tell(atMost, `longest occlusion ${to}`, WHOLE_OCCLUSION),
    ].filter((told) => typeof told === "object");
  });
  const waits = [...allSteps(protocol)].flatMap((step) => {
    const timer = step.kind === "wait-for" && protocol.timers.find(({ name }) => name === step.timer);
    if (!timer || timer.atLeast === undefined) return [];
    const until = clockText(inBase(timer.atLeast).valueOf());
    return [tell(step, `until ${until}`, `Until \`${timer.name}\` has reached its least.`)];
  });
  return [...bounds, ...waits];
}

const AFTER_INJECTION = "After the end of the injection, over all runs.";
const WHOLE_OCCLUSION = "From the first inflation to the last deflation, over all runs.";
