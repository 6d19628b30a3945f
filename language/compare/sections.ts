import {
  type Agent,
  agentsOf,
  allHandlers,
  changeInner,
  type Dose,
  type Handler,
  type Protocol,
  type Step,
} from "../model/index.ts";
import { isOfFile } from "../rule-file/proof.ts";
import { acceptancesFor } from "../rules/engine/acceptances.ts";
import { answersIn } from "../rules/facts/answers.ts";
import type { ChangedPart } from "./codes.ts";
import type { Change } from "./comparison.ts";
import { cuffChanges } from "./cuffs.ts";
import { changesOfTexts, documentChanges, requirementChanges } from "./document.ts";
import { doseChanges } from "./doses.ts";
import { drugChanges } from "./drugs.ts";
import { localRuleChanges } from "./local-rules.ts";
import { patientChanges } from "./patients.ts";
import { readinessChanges } from "./readiness.ts";
import { runChanges } from "./runs.ts";
import { anyOrder, meaningText } from "./same.ts";
import { type Comparing, changeOf, type FoundChange } from "./side.ts";
import { timerChanges } from "./timers.ts";
import { verdictChanges } from "./verdicts.ts";

type Text = (part: unknown) => string;

/**
 * A section of a protocol: what it says, as a text by which any other is known, and what tells its changes one by one. A new section
 * needs a row here; where nothing tells its changes, the net below says that it has changed.
 */
interface Section {
  readonly name: string;
  readonly part: ChangedPart;
  /** The parts of the model that it is of; none for the runs and the answers of the check. */
  readonly of: readonly (keyof Protocol)[];
  readonly changes?: (comparing: Comparing) => readonly FoundChange[];
  /** Where it is not that of its parts, in any order. `isFile`: whether a version is a rule file, which says nothing of rules about a day. */
  readonly text?: (protocol: Protocol, text: Text, isFile: boolean) => string;
  /** The parts one of whose changes tells that the section has changed, if not its own alone. */
  readonly toldBy?: readonly ChangedPart[];
}

const SECTIONS = [
  {
    name: "patients",
    of: ["patients"],
    part: "patients",
    changes: patientChanges,
    text: (p, text) => `${text(p.patients?.bounds)} ${anyOrder(p.patients?.conditions ?? [], text)}`,
  },
  {
    name: "drugs",
    of: ["agents"],
    part: "drug",
    changes: drugChanges,
    toldBy: ["drug", "dose", "readiness"],
    text: (p, text) => inOrder(agentsOf(p).map((agent) => agentText(agent, text))),
  },
  {
    name: "doses",
    of: ["doses"],
    part: "dose",
    changes: doseChanges,
    text: (p, text) => inOrder(p.doses.map((dose) => doseText(dose, text))),
  },
  {
    name: "cuffs",
    of: ["cuffs"],
    part: "cuffs",
    changes: cuffChanges,
    text: (p, text) => text(text === meaningText && p.cuffs ? withoutAmounts(p.cuffs) : p.cuffs),
  },
  { name: "timers", part: "timer", of: ["timers"], changes: timerChanges },
  { name: "runs", part: "runs", of: [], changes: runChanges },
  {
    name: "steps",
    of: ["steps", "throughout"],
    part: "steps",
    changes: ({ ofSteps }) => ofSteps,
    text: (p, text) =>
      [p.steps && withHandlersInOrder(p.steps, text), handlersInOrder(p.throughout, text)]
        .map(text)
        .join(" "),
  },
  {
    name: "events",
    of: ["declaredEvents"],
    part: "steps",
    toldBy: [],
    text: (p, text) => {
      const answered = new Set(allHandlers(p).flatMap((one) => (one.kind === "event" ? [one.event] : [])));
      return anyOrder(
        p.declaredEvents.filter(({ name }) => answered.has(name)).map(({ name, title }) => ({ name, title })),
        text,
      );
    },
  },
  {
    name: "emergencies",
    of: ["emergencies"],
    part: "emergency",
    text: (p, text) =>
      anyOrder(
        p.emergencies.map(({ name, title, steps }) => ({ name, title, steps })),
        text,
      ),
  },
  {
    name: "readiness",
    of: ["preparation"],
    part: "readiness",
    changes: readinessChanges,
    text: (p, text) =>
      anyOrder(
        (p.preparation?.items ?? []).map((item) =>
          item.kind === "at-hand"
            ? {
                ...item,
                agents: item.agents.map(({ name }) => name),
                amounts: (item.amounts ?? []).map(({ agent, amount }) => ({ agent: agent?.name, amount })),
              }
            : item,
        ),
        text,
      ),
  },
  { name: "requirements", part: "requirement", of: ["requirements"], changes: requirementChanges },
  {
    name: "local rules",
    of: ["localRules"],
    part: "local-rules",
    changes: localRuleChanges,
    text: (p, text, isFile) =>
      [settingsOf(p, isFile), acceptancesOf(p), answersIn(p)].map((list) => anyOrder(list, text)).join(" "),
  },
  { name: "answers", part: "verdict", of: [], changes: verdictChanges },
  {
    name: "indication",
    part: "indication",
    of: ["indications"],
    changes: changesOfTexts("indication", "indication"),
  },
  {
    name: "document",
    part: "document",
    of: ["name", "title", "version", "hospital", "owner", "status", "reviewBy"],
    changes: documentChanges,
    // Each of its lines is told by itself; the version is held against all changes.
    text: () => "",
  },
] as const satisfies readonly Section[];

/** The parts of the model that no section is of: but for places, and whether all was understood, there are none. */
type Forgotten = Exclude<
  keyof Protocol,
  (typeof SECTIONS)[number]["of"][number] | "origin" | "nameOrigin" | "emptyThroughout" | "incomplete"
>;

/** Every section. This compiles only while each part of a protocol belongs to one. */
const EVERY_SECTION: readonly Section[] & (Forgotten extends never ? unknown : { forgotten: Forgotten }) =
  SECTIONS;

/** All changes, section by section, and what none of them told; `written` tells how a part is written. */
export function sectionChanges(comparing: Comparing, written: Text): Change[] {
  const found = EVERY_SECTION.flatMap(({ changes }) => changes?.(comparing) ?? []).map(changeOf);
  return [...found, ...EVERY_SECTION.flatMap((section) => untoldChange(section, comparing, found, written))];
}

/**
 * What has changed and was told by no change: the net under every other comparison. A part that is written otherwise and
 * comes to the same is a matter of wording; one that comes to something else, and of which no change was told, is never
 * passed over. It works section by section: beside one change of the doses it says nothing of another.
 */
function untoldChange(
  { name, part, of, text = (protocol, words) => partsText(protocol, of, words), toldBy = [part] }: Section,
  { before, now, judged }: Comparing,
  found: readonly Change[],
  written: Text,
): Change[] {
  const isFile = judged.before.compiled !== undefined || judged.now.compiled !== undefined;
  if (text(before, written, isFile) === text(now, written, isFile)) return [];
  if (found.some((change) => toldBy.includes(change.part))) return [];
  const isWording = text(before, meaningText, isFile) === text(now, meaningText, isFile);
  return [
    changeOf({
      code: isWording ? "written-otherwise" : "not-told-apart",
      part,
      about: name,
      what: isWording
        ? `What is said of ${name} is written otherwise and comes to the same for the patients whom both versions cover.`
        : `What is said of ${name} is otherwise in a way that is not told apart here; read both.`,
      before: { says: name, origin: before.nameOrigin },
      now: { says: name, origin: now.nameOrigin },
    }),
  ];
}

function settingsOf({ localRules }: Protocol, isFile: boolean) {
  const settings = localRules?.settings ?? [];
  return isFile ? settings.filter(({ rule }) => rule === undefined || isOfFile({ rule })) : settings;
}

function partsText(protocol: Protocol, parts: Section["of"], text: Text): string {
  return parts.map((part) => anyOrder([protocol[part] ?? []].flat(), text)).join(" ");
}

function inOrder(texts: readonly string[]): string {
  return [...texts].sort().join(" ");
}

/** The parts of an amount: as functions of the patient they are held against each other exactly, elsewhere. */
const COMPARED_EXACTLY: ReadonlySet<string> = new Set([
  "amount",
  "sameAmount",
  "mass",
  "volume",
  "rate",
  "total",
  "pressure",
]);

function withoutAmounts(part: object): object {
  return Object.fromEntries(Object.entries(part).filter(([name]) => !COMPARED_EXACTLY.has(name)));
}

function doseText(dose: Dose, text: Text): string {
  const { agent, adjuvants, ...own } = dose;
  const part = {
    ...own,
    agent: agent?.name,
    adjuvants: adjuvants.map(({ agent: mixed, ...rest }) => ({ ...rest, agent: mixed?.name })),
  };
  if (text !== meaningText) return text(part);
  return text({ ...withoutAmounts(part), adjuvants: part.adjuvants.map(withoutAmounts) });
}

/** The maxima are held against each other exactly, too, for the patients of the protocol. */
function agentText(agent: Agent, text: Text): string {
  const { maxima, sources, concentrations, cautions, ...own } = agent;
  const lists = [...(text === meaningText ? [] : [maxima]), sources, concentrations, cautions];
  return [text(own), ...lists.map((list) => anyOrder(list, text))].join(" ");
}

/** All that is asked is whether they are for this protocol, not whether by its name. */
function acceptancesOf(protocol: Protocol) {
  return acceptancesFor(protocol).map(({ protocol: _name, protocolOrigin: _place, ...one }) => one);
}

/** Handlers of one stage are declared in any order. */
function withHandlersInOrder(steps: readonly Step[], text: Text): Step[] {
  return steps.map((step) => {
    const inner = changeInner(step, (list) => withHandlersInOrder(list, text));
    return step.kind === "stage" ? { ...inner, handlers: handlersInOrder(step.handlers, text) } : inner;
  }) as Step[];
}

function handlersInOrder(handlers: readonly Handler[], text: Text): string[] {
  return handlers.map((one) => text({ ...one, steps: withHandlersInOrder(one.steps, text) })).sort();
}
