import type { Origin } from "@limbwright/shared/finding";
import { allSteps, type Protocol, type Step, stepsWithin } from "../../model/index.ts";
import type { Detected } from "./judgement.ts";

/**
 * What is found in a routine of another file, told where the protocol takes the routine in: whoever reads the protocol looks there
 * first, and the routine may serve others that are sound. Its own place stands beside it.
 */
export function atNearestPlace(found: Detected, protocol: Protocol): Detected {
  const { origin, related = [] } = found;
  const { file } = protocol.origin;
  if (origin.file === file) return found;
  const places = takingIn(protocol, origin);
  const before = found.run?.lines.findLast((line) => line.origin?.file === file)?.origin;
  // Of several places the one that the shown run has come to.
  const nearest = places.find((one) => before && one.origin.start.offset >= before.start.offset) ?? places[0];
  if (!nearest) return found;
  const routine = { origin, note: `in the routine \`${nearest.routine}\`` };
  return { ...found, origin: nearest.origin, related: [routine, ...related] };
}

/** The steps of the protocol's own file that take in the step at a place of another one. */
function takingIn(protocol: Protocol, wanted: Origin) {
  const { file } = protocol.origin;
  const isWanted = ({ origin }: Step) =>
    origin.file === wanted.file && origin.start.offset === wanted.start.offset;
  return [...allSteps(protocol)].flatMap((step) =>
    step.kind === "do" && step.origin.file === file && [...stepsWithin(step.steps)].some(isWanted)
      ? [{ origin: step.origin, routine: step.routine }]
      : [],
  );
}
