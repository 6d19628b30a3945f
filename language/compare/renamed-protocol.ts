import type { Protocol } from "../model/index.ts";
import type { Renaming } from "./names.ts";

/** The protocol with its own names as they are called now. Places stay those of the earlier text. */
export function renamedProtocol(protocol: Protocol, renaming: Renaming): Protocol {
  if (Object.values(renaming).every((names) => names.size === 0)) return protocol;
  const { agents, localRules, ...own } = protocol;
  return {
    ...(renamedPart(own, renaming, new Map()) as typeof own),
    agents,
    ...(localRules && { localRules }),
  };
}

type Fields = Record<string, unknown>;

/** Drugs belong to the formulary, and are known by being the same object. */
const DRUGS: ReadonlySet<string> = new Set(["agent", "agents"]);

function renamedPart(part: unknown, renaming: Renaming, known: Map<object, unknown>): unknown {
  if (typeof part !== "object" || part === null) return part;
  if (known.has(part)) return known.get(part);
  if (Array.isArray(part)) {
    const list = part.map((one) => renamedPart(one, renaming, known));
    known.set(part, list);
    return list;
  }
  // An exact number is an object of a class of its own; it holds no name.
  if (Object.getPrototypeOf(part) !== Object.prototype || "dimension" in part) return part;
  const fields = Object.entries(part).map(([name, value]) => [
    name,
    DRUGS.has(name) ? value : renamedPart(value, renaming, known),
  ]);
  const renamed = { ...(Object.fromEntries(fields) as Fields), ...ownNames(part as Fields, renaming) };
  known.set(part, renamed);
  return renamed;
}

/** The fields of one object that hold a name of the protocol, by the shapes of the model. */
function ownNames(part: Fields, renaming: Renaming): Fields {
  const to = (kind: keyof Renaming, name: unknown) =>
    typeof name === "string" ? (renaming[kind].get(name) ?? name) : name;
  const names: Fields = {};
  for (const kind of ["dose", "timer", "emergency", "stage"] as const) {
    if (typeof part[kind] === "string") names[kind] = to(kind, part[kind]);
  }
  if (part.kind === "event" && typeof part.cuff === "string") names.cuff = to("cuff", part.cuff);
  if (typeof part.target === "string")
    names.target = to(part.targetKind === "dose" ? "dose" : "stage", part.target);
  const kind = kindOfNamed(part);
  if (kind) names.name = to(kind, part.name);
  return names;
}

function kindOfNamed(part: Fields): keyof Renaming | undefined {
  if (typeof part.name !== "string") return undefined;
  if (part.kind === "cuff") return "cuff";
  if (part.kind === "stage") return "stage";
  if ("adjuvants" in part) return "dose";
  if ("atLeast" in part || "atMost" in part || "from" in part) return "timer";
  if ("steps" in part && !("kind" in part) && !("doses" in part)) return "emergency";
  return "origin" in part && !("kind" in part) && Object.keys(part).every((key) => CUFF_KEYS.has(key))
    ? "cuff"
    : undefined;
}

const CUFF_KEYS: ReadonlySet<string> = new Set(["name", "label", "origin"]);
