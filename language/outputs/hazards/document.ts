import type { OpenPoint } from "@limbwright/shared/finding";
import { quantityText } from "@limbwright/shared/quantity";
import { CAUTION } from "@limbwright/shared/text";
import type { ParameterSetting } from "../../model/index.ts";
import { CATALOGUE_VERSION } from "../../rules/engine/catalogue-version.ts";
import { acceptanceText, answerText, countText, placeText } from "../findings/words.ts";
import type { FindingHere, Guard, GuardHere, HazardLog, LoggedHazard } from "./log.ts";

/** A hazard log in words: sentences, with the names between backticks. */
export interface HazardDocument {
  readonly title: string;
  readonly says: readonly string[];
  readonly sections: readonly Section[];
  readonly caution: string;
}

interface Section {
  readonly title: string;
  readonly rows: readonly Row[];
}

export interface Row {
  readonly label: string;
  readonly items: readonly string[];
}

export function hazardDocument(log: HazardLog): HazardDocument {
  const { about, hazards } = log;
  const texts = about?.notJudged.map(({ origin, what }) => `${what} (${placeText(origin)})`) ?? [];
  const forPeople = {
    title: "Texts of this protocol that a person has to judge",
    rows: rows(["Read", texts]),
  };
  return {
    title: about ? `Hazard log of \`${about.protocol}\`` : "Hazard log",
    says: about ? saysOfProtocol(log) : SAYS_OF_CATALOGUE,
    sections: [
      ...hazards.map((hazard) => ({ title: hazard.title, rows: rowsOf(hazard, log) })),
      ...(texts.length > 0 ? [forPeople] : []),
    ],
    caution: CAUTION,
  };
}

const NOT_RATED =
  "Risks are not rated: how likely a hazard is, and whether what is left of it is borne, is for local policy to judge.";

const SAYS_OF_CATALOGUE = [
  `What can hurt the patient, the rules of the catalogue (version ${CATALOGUE_VERSION}) that guard against it, and what is left. \`limb why RULE\` shows a flawed example of each rule and its sources; \`limb hazards FILE\` says which guards hold in a protocol.`,
  NOT_RATED,
];

function saysOfProtocol({ about, hazards }: HazardLog): string[] {
  if (!about) return [];
  const { file, version, owner, on, notJudged } = about;
  const against = (isSo: (here: GuardHere) => boolean) =>
    hazards.filter(({ guards }) => guards.some(({ here }) => here && isSo(here))).length;
  const broken = against(({ is }) => is === "broken");
  const open = against((here) => openPointIn(here) !== undefined);
  const counts = [
    broken > 0 && `a guard is broken against ${broken}`,
    open > 0 && `a guard is not decided, which is not a pass, against ${open}`,
  ].filter((text) => text !== false);
  const stands = counts.length === 0 ? "no guard that is asked is broken or not decided" : counts.join("; ");
  return [
    `${file}${version === undefined ? "" : `, version ${version}`}; owner: ${owner ?? "not named"}; dates judged on ${on}; catalogue ${CATALOGUE_VERSION}.`,
    `Of ${hazards.length} hazards: ${stands}. No rule judges ${countText(notJudged.length, "text")} of the protocol, nor what each hazard leaves to people.`,
    NOT_RATED,
  ];
}

function rowsOf({ causes, effect, guards, ...hazard }: LoggedHazard, { about }: HazardLog): Row[] {
  const drafts = hazard.drafts.map((draft) => `\`${draft}\``).join(", ");
  const shown = `the example that breaks \`${hazard.shownBy}\`${drafts === "" ? "" : `; among the flawed drafts of the example hospital: ${drafts}`}`;
  return [
    ...rows(["Causes", causes], ["Effect", [effect]]),
    ...(about ? guardRows(guards) : rows(["Guards", guards.map(guardText)])),
    ...rows(
      ["Shown by", [shown]],
      ["A person judges", hazard.people],
      ["Nothing guards against", hazard.unguarded],
      [
        "Residual risk",
        [`not rated here; for local policy to judge${about?.owner ? ` (${about.owner})` : ""}`],
      ],
    ),
  ];
}

function rows(...all: readonly (readonly [label: string, items: readonly string[]])[]): Row[] {
  return all.filter(([, items]) => items.length > 0).map(([label, items]) => ({ label, items }));
}

function guardText({ rule, title, severity }: Guard): string {
  return `\`${rule}\` (${severity}): ${title}`;
}

/** The guards of a hazard by how they stand with the protocol, what is worst first. */
function guardRows(guards: readonly Guard[]): Row[] {
  const standing = guards.flatMap(({ rule, here }) => (here ? [{ rule, here }] : []));
  const named = (is: GuardHere["is"]) =>
    standing.filter(({ here }) => here.is === is).map(({ rule }) => `\`${rule}\``);
  const together = (names: readonly string[]) => (names.length > 0 ? [names.join(", ")] : []);
  const broken = standing.flatMap(({ rule, here }) =>
    here.is === "broken" ? here.findings.map((finding) => findingText(rule, finding)) : [],
  );
  const open = standing.flatMap(({ rule, here }) => {
    const point = openPointIn(here);
    return point ? [`\`${rule}\`: ${point.limit}${point.origin ? ` (${placeText(point.origin)})` : ""}`] : [];
  });
  const answered = standing.flatMap(({ rule, here }) =>
    here.is === "answered"
      ? here.answers.map((one) => `\`${rule}\`: ${answerText(one)} (${placeText(one.origin)})`)
      : [],
  );
  const settings = standing.flatMap(({ here }) => here.settings.map(settingText));
  return rows(
    ["Broken", broken],
    ["Not decided, which is not a pass", open],
    ["Answered by local rules, which is no proof", answered],
    ["Holds", together(named("holds"))],
    [
      "Not asked, since it is not about such a protocol, or there is no earlier version",
      together(named("not-asked")),
    ],
    ["Set by local rules", settings],
  );
}

/** What is not decided about a guard, also beside what it found. */
export function openPointIn(here: GuardHere): OpenPoint | undefined {
  if (here.is === "broken") return here.open;
  return here.is === "not-decided" ? here : undefined;
}

function findingText(rule: string, { severity, what, origin, accepted }: FindingHere): string {
  const decided = accepted ? ` Accepted ${acceptanceText(accepted)}.` : "";
  return `\`${rule}\` (${severity}, ${placeText(origin)}): ${what}${decided}`;
}

function settingText({ rule, parameter, value, because, by, origin }: ParameterSetting): string {
  const set = value.kind === "quantity" ? quantityText(value.quantity) : value.word;
  const reason =
    because === undefined ? "" : `, because "${because}"${by === undefined ? "" : ` by "${by}"`}`;
  return `\`${rule}.${parameter}\` ${set}${reason} (${placeText(origin)})`;
}
