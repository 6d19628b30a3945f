import type { Agent, Dose, Protocol } from "../model/index.ts";
import { allHandlers, usedAgents } from "../model/index.ts";
import { acceptancesFor } from "../rules/engine/acceptances.ts";
import type { Change, ChangedPart } from "./change.ts";
import { anyOrder, meaningText, writtenText } from "./same.ts";
import { changeOf } from "./side.ts";

type Text = (part: unknown) => string;

/** A part of a protocol, and the changes that would tell that it is otherwise. */
interface Section {
  readonly name: string;
  readonly part: ChangedPart;
  readonly toldBy: readonly ChangedPart[];
  readonly text: (protocol: Protocol, text: Text) => string;
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

const SECTIONS: readonly Section[] = [
  {
    name: "indication",
    part: "indication",
    toldBy: ["indication"],
    text: (p, text) => anyOrder(p.indications, text),
  },
  {
    name: "patients",
    part: "patients",
    toldBy: ["patients"],
    text: (p, text) => `${text(p.patients?.bounds)} ${anyOrder(p.patients?.conditions ?? [], text)}`,
  },
  {
    name: "cuffs",
    part: "cuffs",
    toldBy: ["cuffs"],
    text: (p, text) => text(text === meaningText && p.cuffs ? withoutAmounts(p.cuffs) : p.cuffs),
  },
  {
    name: "drugs",
    part: "drug",
    toldBy: ["drug", "dose", "readiness"],
    text: (p, text) =>
      usedAgents(p)
        .map((agent) => agentText(agent, text))
        .sort()
        .join(" "),
  },
  {
    name: "doses",
    part: "dose",
    toldBy: ["dose"],
    text: (p, text) =>
      p.doses
        .map((dose) => doseText(dose, text))
        .sort()
        .join(" "),
  },
  { name: "timers", part: "timer", toldBy: ["timer"], text: (p, text) => anyOrder(p.timers, text) },
  {
    name: "readiness",
    part: "readiness",
    toldBy: ["readiness"],
    text: (p, text) =>
      anyOrder(
        (p.preparation?.items ?? []).map((item) =>
          item.kind === "at-hand" ? { ...item, agents: item.agents.map(({ name }) => name) } : item,
        ),
        text,
      ),
  },
  {
    name: "steps",
    part: "steps",
    toldBy: ["steps"],
    text: (p, text) =>
      `${text(inAnyHandlerOrder(p.steps, text))} ${text(inAnyHandlerOrder(p.throughout, text))}`,
  },
  {
    name: "emergencies",
    part: "emergency",
    toldBy: ["emergency"],
    text: (p, text) =>
      anyOrder(
        p.emergencies.map(({ name, title, steps }) => ({ name, title, steps })),
        text,
      ),
  },
  {
    name: "requirements",
    part: "requirement",
    toldBy: ["requirement"],
    text: (p, text) => anyOrder(p.requirements, text),
  },
  {
    name: "events",
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
    name: "local rules",
    part: "local-rules",
    toldBy: ["local-rules"],
    text: (p, text) => `${anyOrder(p.localRules?.settings ?? [], text)} ${anyOrder(acceptancesOf(p), text)}`,
  },
];

/** All that is asked is whether they are for this protocol, not whether by its name. */
function acceptancesOf(protocol: Protocol) {
  return acceptancesFor(protocol).map(({ protocol: _name, protocolOrigin: _place, ...one }) => one);
}

/** Handlers of one stage are declared in any order. */
function inAnyHandlerOrder(part: unknown, text: (part: unknown) => string): unknown {
  if (Array.isArray(part)) {
    const list = part.map((one) => inAnyHandlerOrder(one, text));
    const isHandlers = part.some((one) => one?.kind === "reaches" || one?.kind === "event");
    return isHandlers ? list.map(text).sort() : list;
  }
  if (typeof part !== "object" || part === null || Object.getPrototypeOf(part) !== Object.prototype)
    return part;
  const { steps, handlers, yes, no, otherwise } = part as Record<string, unknown>;
  const inner = Object.entries({ steps, handlers, yes, no, otherwise }).filter(
    ([, value]) => value !== undefined,
  );
  return {
    ...part,
    ...Object.fromEntries(inner.map(([name, value]) => [name, inAnyHandlerOrder(value, text)])),
  };
}

/**
 * What is otherwise and was told by no change: the net under every other comparison. A part that is written otherwise and
 * comes to the same is a matter of wording; one that comes to something else, and of which no change was told, is never
 * passed over. It works section by section: beside one change of the doses it says nothing of another. `written` tells how a part is
 * written.
 */
export function unsaidChanges(
  before: Protocol,
  now: Protocol,
  told: readonly Change[],
  written: Text = writtenText,
): Change[] {
  return SECTIONS.flatMap(({ name, part, toldBy, text }): Change[] => {
    if (text(before, written) === text(now, written)) return [];
    if (told.some((change) => toldBy.includes(change.part))) return [];
    const isWording = text(before, meaningText) === text(now, meaningText);
    const sides = {
      before: { says: name, origin: before.nameOrigin },
      now: { says: name, origin: now.nameOrigin },
    };
    return [
      changeOf(
        part,
        isWording
          ? {
              kind: "wording",
              about: name,
              what: `What is said of ${name} is written otherwise and comes to the same for the patients whom both versions cover.`,
              ...sides,
            }
          : {
              kind: "needs-a-reader",
              about: name,
              what: `What is said of ${name} is otherwise in a way that is not told apart here; read both.`,
              ...sides,
            },
      ),
    ];
  });
}
