import { listText } from "@limbwright/shared/text";
import { canonicalName, type Protocol, type WrittenText, writtenTexts } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { type Detected, found } from "../engine/judgement.ts";
import { type DrugClass, type SaidOfDrugs, saidOfDrugs } from "../facts/drug-words.ts";
import { isLocalAnaesthetic } from "../facts/drugs.ts";

export const rule: Rule = {
  judge: ({ protocol }) => {
    const formulary = classesOf(protocol);
    const own = new Set(protocol.doses.flatMap(({ agent }) => (agent ? [canonicalName(agent.name)] : [])));
    return found(
      ...writtenTexts(protocol).flatMap((written) => {
        const said = clausesOf(written.text)
          .map((clause) => saidOfDrugs(clause, formulary))
          .filter((one) => isDose(one, written, own));
        return said.length > 0 ? [tell(written, said)] : [];
      }),
    );
  },
};

/** Drugs of the hospital's formulary are known by the name that it gives them. */
function classesOf({ agents }: Protocol): ReadonlyMap<string, DrugClass> {
  return new Map(
    agents.map((agent) => [agent.name, isLocalAnaesthetic(agent) ? "local-anaesthetic" : "other"] as const),
  );
}

/** What is forbidden in one clause may be given in the next. */
function clausesOf(text: string): string[] {
  return text.split(/[.;!?](?=\s|$)|\bthen\b|\bbut\b/).filter((clause) => clause.trim() !== "");
}

function isDose(said: SaidOfDrugs, written: WrittenText, own: ReadonlySet<string>): boolean {
  if (said.forbids || isLater(said)) return false;
  const isNamed = said.drugs.length > 0;
  if (said.infiltrates && !(said.checks && !isNamed)) return true;
  if (said.amount !== undefined && (isNamed || said.gives || (said.isMass && !said.checks))) return true;
  if (written.kind === "condition" || !isNamed) return false;
  // Of rescue drugs the emergency may speak; a local anaesthetic adds to what it treats, the block's own one, too.
  if (written.treatsToxicity) return said.gives && said.drugs.some(({ of }) => of === "local-anaesthetic");
  const others = said.drugs.filter(({ word }) => !own.has(canonicalName(word)));
  return isNamedToBeGiven({ ...said, drugs: others }, written, said.gives && isNamed);
}

/** What goes home with the patient is no dose of this protocol; a local anaesthetic does not go home. */
function isLater({ isForHome, drugs, infiltrates }: SaidOfDrugs): boolean {
  return isForHome && !infiltrates && drugs.every(({ of }) => of !== "local-anaesthetic");
}

/** A drug without an amount: what is meant follows from where the text stands. */
function isNamedToBeGiven(others: SaidOfDrugs, { kind, step }: WrittenText, gives: boolean): boolean {
  const sedates = others.drugs.some(({ of }) => of === "sedating");
  const isBare = !others.checks && others.drugs.some(({ of }) => of !== "other");
  switch (kind) {
    case "task":
      return gives || isBare;
    case "note": {
      const restates = step?.kind === "inject" || step?.kind === "give";
      return restates ? false : gives || (sedates && !others.checks);
    }
    case "question":
      return (gives && !others.checks) || (sedates && others.wants && !others.checks);
    case "preparation":
      return gives || (others.drugs.some(({ word }) => /^(sedat|premed)/.test(word)) && !others.checks);
    case "condition":
      return false;
  }
}

function tell({ text, origin }: WrittenText, said: readonly SaidOfDrugs[]): Detected {
  const drugs = said.flatMap((one) => one.drugs);
  const names = [...new Set(drugs.map(({ word }) => word))];
  const amounts = [...new Set(said.flatMap(({ amount }) => amount ?? []))];
  const infiltrates = said.some((one) => one.infiltrates);
  const told = [...(infiltrates && names.length === 0 ? ["an infiltration"] : names.map(quoted)), ...amounts];
  const counts = infiltrates || drugs.some(({ of }) => of === "local-anaesthetic");
  const sedates = drugs.some(({ of }) => of === "sedating");
  return {
    origin,
    what: `"${text}" speaks of ${listText(told)}; no rule counts what is only said in words.`,
    label: sedates ? "sedation in words" : "a dose in words",
    next: counts ? COUNTED : sedates ? WATCHED : DECLARED,
    ...(sedates && { why: SEDATION }),
  };
}

const SEDATION =
  "Sedation hides the early signs of toxicity, on which every answer of the protocol relies, and nothing holds its amount against weight, age or maximum.";
const DECLARED = "Declare it with `dose` and write `give`, so that its amount is judged; or leave it out.";
const COUNTED =
  "Declare it with `dose` and write `give … as infiltration` (or `as nerve-block`), so that it counts with the block; or let the team call for another anaesthetic.";
const WATCHED =
  "Declare it with `dose` and write `give`, with an answer to drowsiness and somebody who does nothing else than watch; or leave it out.";

function quoted(word: string): string {
  return `"${word}"`;
}
