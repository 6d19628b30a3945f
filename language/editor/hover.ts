import type { Origin } from "@limbwright/shared/finding";
import { dayOfAgeText, quantityText, ratio, rational } from "@limbwright/shared/quantity";
import { CAUTION, plainMarkdown } from "@limbwright/shared/text";
import { type CstNode, CstUtils } from "langium";
import type { Site } from "../lower/site.ts";
import { type Agent, canonicalName, type Dose, type Protocol } from "../model/index.ts";
import { spanText } from "../outputs/findings/words.ts";
import { rangeText } from "../population/index.ts";
import { catalogue } from "../rules/catalogue.ts";
import { standardSource } from "../rules/engine/parameter.ts";
import { citationsText } from "../rules/sources/sources.ts";
import { originOfRange } from "./folds.ts";
import { GLOSSARY } from "./glossary.ts";
import type { EnvelopeOf } from "./inlays.ts";
import { type NameUse, namesIn } from "./names.ts";
import { findCoveredBox, sampleAmounts, spanOver } from "./sample-amounts.ts";

/** What an editor says about the words under the cursor, as Markdown in which the author's texts are no markup. */
export interface Hover {
  readonly markdown: string;
  readonly origin: Origin;
}

/** What stands at an offset of a file; undefined where there is nothing to say. */
export function hoverAt(site: Site, file: string, offset: number, envelopeOf: EnvelopeOf): Hover | undefined {
  const use = namesIn(site, file)?.uses.find(
    ({ origin: { start, end } }) => start.offset <= offset && offset <= end.offset,
  );
  const lines = use && aboutName(site, use, envelopeOf);
  if (use && lines && lines.length > 0) return { markdown: lines.join("\n\n"), origin: use.origin };
  return aboutWord(site, file, offset);
}

function aboutWord(site: Site, file: string, offset: number): Hover | undefined {
  const document = site.documentOf(file);
  const root = document?.parseResult.value.$cstNode;
  const leaf =
    root && (CstUtils.findLeafNodeAtOffset(root, offset) ?? CstUtils.findLeafNodeBeforeOffset(root, offset));
  if (!document || !leaf || offset > leaf.end || ["STRING", "COMMENT"].includes(leaf.tokenType.name))
    return undefined;
  const word = wordOf(leaf);
  const lines = aboutAge(leaf.text) ?? aboutRule(word) ?? glossaryEntry(word);
  return lines && { markdown: lines.join("\n\n"), origin: originOfRange(document, leaf) };
}

/** When somebody is of an age that is written as such. */
function aboutAge(written: string): string[] | undefined {
  const [, number = "", unit] = /^(\d{1,3})\s*(year|month)s?$/.exec(written) ?? [];
  if (unit === undefined) return undefined;
  const next = rational(number)
    .add(1)
    .mul(unit === "year" ? 1 : ratio(1, 12));
  return [`**${written}**`, `Ages are completed ${unit}s: until the day before ${dayOfAgeText(next)}.`];
}

/** The unit of a number with its unit; any other word itself. */
function wordOf({ text }: CstNode): string {
  return /^[\d.,\s]+(\D+)$/.exec(text)?.[1]?.trim() ?? text;
}

function glossaryEntry(word: string): string[] | undefined {
  const meaning = Object.hasOwn(GLOSSARY, word) ? GLOSSARY[word] : undefined;
  return meaning === undefined ? undefined : [`**${word}**`, meaning];
}

function aboutRule(word: string): string[] | undefined {
  const rule = catalogue.find(({ id }) => id === word);
  if (!rule) return undefined;
  const parameters = (rule.parameters ?? []).map((parameter) => {
    const { name, title, standard, unit, bound } = parameter;
    const from = standardSource(parameter);
    return `- \`${name}\`: ${title}; ${standard} ${unit}${from ? ` (${from})` : ""}${bound ? `, never past ${bound} ${unit}` : ""}`;
  });
  return [
    `**${rule.id}** (${rule.severity}): ${rule.title}`,
    rule.why,
    ...(parameters.length > 0 ? [parameters.join("\n")] : []),
    ...(rule.sources.length > 0 ? [`Sources:\n\n${citationsText(rule.sources)}`] : []),
  ];
}

function aboutName(site: Site, use: NameUse, envelopeOf: EnvelopeOf): string[] {
  const [file = "", holder = ""] = use.key.split("#");
  const read = site.file(file);
  const isCalled = ({ name }: { readonly name: string }) => canonicalName(name) === canonicalName(use.name);
  if (use.kind === "agent") {
    const agent = read?.agents.find(isCalled);
    return agent ? aboutAgent(agent) : [];
  }
  if (use.kind === "routine") return aboutRoutine(site, use, file);
  const protocolName = use.kind === "protocol" ? canonicalName(use.name) : holder.replace(/^protocol:/, "");
  const protocol = read?.protocols.find(({ name }) => canonicalName(name) === protocolName);
  if (!protocol) return use.kind === "event" ? [`**${use.name}**: an event of the hospital's own`] : [];
  if (use.kind === "protocol")
    return [...heading(protocol.name, protocol.title), ...times(protocol, envelopeOf)];
  if (use.kind === "cuff") return aboutCuff(protocol, use);
  if (use.kind === "timer") return [`**${use.name}**: a clock`, ...times(protocol, envelopeOf)];
  if (use.kind === "stage") return [`**${use.name}**: a stage`];
  const dose = use.kind === "dose" && protocol.doses.find(isCalled);
  if (dose) return aboutDose(protocol, dose);
  const emergency = protocol.emergencies.find(isCalled);
  return emergency ? heading(emergency.name, emergency.title) : [];
}

/** A routine as it is written, in a block in which nothing is markup. */
function aboutRoutine(site: Site, { key, name }: NameUse, file: string): string[] {
  const declared = namesIn(site, file)?.uses.find((use) => use.isDeclaration && use.key === key);
  const document = site.documentOf(file);
  const root = document?.parseResult.value.$cstNode;
  const leaf = declared && root && CstUtils.findLeafNodeAtOffset(root, declared.origin.start.offset);
  const written = leaf?.container?.text.replaceAll("`", "'");
  return written ? [`**${name}**: steps used in several places`, `\`\`\`limb\n${written}\n\`\`\``] : [];
}

function heading(name: string, title: string | undefined): string[] {
  return [`**${name}**${title === undefined ? "" : `: ${plainMarkdown(title)}`}`];
}

function aboutAgent(agent: Agent): string[] {
  const { name, title, kind, concentrations, maxima, contraindicated, sources } = agent;
  const lines = [
    concentrations.length > 0 &&
      `- concentration ${concentrations.map((one) => quantityText(one)).join(", ")}`,
    ...maxima.map(
      ({ limit, ages }) =>
        `- maximum ${quantityText(limit)}${ages ? ` for ages ${rangeText(ages, "years")}` : ""}`,
    ),
    contraindicated && `- contraindicated: ${plainMarkdown(contraindicated.value)}`,
    ...sources.map(({ value }) => `- source: ${plainMarkdown(value)}`),
  ].filter((line) => typeof line === "string");
  return [
    ...(title === undefined && kind
      ? [`**${name}**: ${kind.value.replace("-", " ")}`]
      : heading(name, title)),
    lines.join("\n"),
    `*${CAUTION}*`,
  ].filter((line) => line !== "");
}

function aboutCuff(protocol: Protocol, use: NameUse): string[] {
  const { cuffs } = protocol;
  const box = findCoveredBox(protocol);
  const cuff = cuffs?.cuffs.find(({ name }) => name === use.name);
  if (!cuffs || !cuff) return [];
  const span = box && cuffs.pressure && spanOver(cuffs.pressure.expression, box, "mmHg");
  const place = cuffs.place ? `, on the ${cuffs.place.value.replace("-", " ")}` : "";
  return [
    `**${cuff.name}**${cuff.label === undefined ? "" : ` “${plainMarkdown(cuff.label)}”`}: a cuff${place}`,
    ...(span ? [`Inflated to ${span}, over all patients of the protocol.`] : []),
    `*${CAUTION}*`,
  ];
}

function aboutDose(protocol: Protocol, dose: Dose): string[] {
  const samples = sampleAmounts(protocol, dose).map(({ patient, amount }) => `- at ${patient}: ${amount}`);
  return [
    `**${dose.name}**${dose.agent ? ` of ${dose.agent.name}` : ""}${dose.concentration ? ` ${quantityText(dose.concentration)}` : ""}`,
    ...(samples.length > 0 ? [samples.join("\n")] : []),
    `*${CAUTION}*`,
  ];
}

function times({ name }: Protocol, envelopeOf: EnvelopeOf): string[] {
  const envelope = envelopeOf(name);
  if (!envelope) return ["The times of its runs are not known (yet)."];
  const { release, occlusion } = envelope;
  const lines = [
    release && `- release ${spanText(release.earliest, release.latest)} after the injection`,
    occlusion && `- occlusion ${spanText(occlusion.shortest, occlusion.longest)}`,
  ].filter((line) => typeof line === "string");
  return lines.length > 0 ? [`Over all runs:\n\n${lines.join("\n")}`] : [];
}
