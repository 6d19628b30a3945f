import type { Written } from "../../model/index.ts";
import { needsALook } from "../../model/text-changes.ts";
import type { ComparedWithEarlier, Rule, RuleContext } from "../engine/definition.ts";
import { found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";

export const rule: Rule<"earlier-version"> = {
  needs: ["earlier-version"],
  // What is in use, or on its way there: a draft may change as it likes.
  isAbout: ({ status }) => status?.value.kind !== "draft",
  judge,
};

function judge({ protocol, earlierVersion }: RuleContext<"earlier-version">): Judgement {
  const { version, nameOrigin } = protocol;
  if (earlierVersion.kind === "not-compared") {
    return undecided(earlierVersion.limit, version?.origin ?? nameOrigin);
  }
  const { needed, isEnough, limit, before } = earlierVersion;
  if (!version || before === undefined) {
    if (needed === "none" && limit === undefined) return HOLDS;
    const which = version ? "the earlier version" : "this version";
    return undecided(`${which} has no number to compare`, version?.origin ?? nameOrigin);
  }
  // Whatever was not compared can ask for no more than the first number, and takes back nothing that asks for it.
  const isKnown = limit === undefined || needed === "first" || earlierVersion.raised === "first";
  if (!isKnown) return undecided(limit, version.origin);
  return isEnough ? HOLDS : found(notRaised(protocol.name, version, before, earlierVersion));
}

function notRaised(
  protocol: string,
  version: Written<string>,
  before: string,
  { name, needed, says }: Extract<ComparedWithEarlier, { kind: "compared" }>,
) {
  const enough = raiseVersion(before, needed);
  return {
    origin: version.origin,
    what: `\`${protocol}\` ${version.value} changes what ${name} says as ${before}: ${says}. That asks for the ${needed} number to be raised.`,
    label: `raise the ${needed} number`,
    next: `Write \`version ${enough}\`, or take back what asks for it; \`limb compare\` shows each change.`,
    repairs: needsALook(`Write version ${enough}`, { origin: version.origin, text: enough }),
  };
}

/** A version with one of its numbers raised by one, and the numbers after it begun again. */
function raiseVersion(version: string, number: "first" | "second" | "third" | "none"): string {
  const at = ["first", "second", "third"].indexOf(number);
  return version
    .split(".")
    .map((part, place) => (place < at ? part : place === at ? `${BigInt(part) + 1n}` : "0"))
    .join(".");
}
