import type { Protocol as FileProtocol, RuleFile, Standing } from "@limbwright/shared/rule-file";
import { agentsOf, type Protocol } from "../model/index.ts";
import { boxOf } from "../rules/engine/judge.ts";
import { requirementsInOrder } from "../runs/index.ts";
import { type Restoring, restoreFields, restorePart, type Writing, writePart } from "./codec.ts";
import type { Models } from "./generated/models.ts";
import { localRulesFrom } from "./local-rules.ts";
import { type Marks, Places } from "./marks.ts";
import type { OtherForms } from "./other-forms.ts";
import { PAIRS } from "./pairs.ts";
import { Senseless } from "./values.ts";

/** A protocol that was understood in full: what every rule file says. */
export type Whole = Protocol &
  Required<Pick<Protocol, "version" | "status" | "patients" | "steps">> & {
    readonly cuffs: OtherForms["Cuffs"];
  };

/** What a rule file says under another name or elsewhere, and what it takes from all of its text. */
type KeptElsewhere =
  | "status"
  | "reviewBy"
  | "localRules"
  | "declaredEvents"
  | "emptyThroughout"
  | "incomplete";

/** The parts of the model that no rule file keeps: there are none. */
type NotKept = Exclude<keyof Protocol, keyof Models["Protocol"] | KeptElsewhere>;

/** Every part of the protocol. This compiles only while the page of the rule file has a field for each. */
type Kept = Whole & (NotKept extends never ? unknown : { readonly notKept: NotKept });

/** Whether nothing is missing that a rule file needs. Text that was not understood is an error of its own. */
export function isWhole(protocol: Protocol): protocol is Whole {
  const { version, status, patients, cuffs, steps, doses } = protocol;
  const isThere = version && status && patients && cuffs?.place && steps;
  return isThere !== undefined && doses.length > 0 && doses.every(({ agent }) => agent !== undefined);
}

/** What the protocol means, without where and how it is written; `marks` takes note of that. */
export function protocolPart(marks: Marks, protocol: Whole): FileProtocol {
  const { preparation, ...fields }: Kept = protocol;
  const part = writePart(writingOf(marks, protocol), "Protocol", {
    ...fields,
    agents: agentsOf(protocol),
    events: protocol.declaredEvents,
    // By their places in this order the automaton names them.
    requirements: requirementsInOrder(protocol),
    ...(preparation && { preparation: preparation.items }),
  });
  if (part.preparation) marks.at(part.preparation, preparation?.origin);
  return marks.at(part, protocol.origin);
}

/** Where the document stands: it may change without the protocol meaning anything else. */
export function standingPart(marks: Marks, protocol: Whole): Standing {
  const { status, reviewBy } = protocol;
  return writePart(writingOf(marks, protocol), "Standing", {
    status: { ...status.value, origin: status.origin },
    ...(reviewBy && { reviewBy }),
  });
}

function writingOf(marks: Marks, protocol: Whole): Writing {
  return { marks, cuffs: protocol.cuffs.cuffs, box: boxOf(protocol), pairs: PAIRS };
}

/**
 * The protocol that a rule file was compiled from, as far as rules look at it. Gives the reason instead where
 * the file says something that makes no sense, such as a mass and a pressure added up.
 */
export function restoreProtocol(file: RuleFile): Whole | { readonly senseless: string } {
  try {
    return protocolFrom(file);
  } catch (error) {
    if (error instanceof Senseless) return { senseless: error.message };
    throw error;
  }
}

function protocolFrom({ protocol, standing, proof, ...file }: RuleFile): Whole {
  const places = new Places(file);
  const bare: Restoring = { places, agents: new Map(), pairs: PAIRS };
  const agents = protocol.agents.map((one, at) => restorePart(bare, "Agent", one, `/protocol/agents/${at}`));
  const restoring = { ...bare, agents: new Map(agents.map((agent) => [agent.name, agent])) };
  const found = restoreFields(restoring, "Protocol", protocol, "/protocol");
  const { events, preparation, doses, ...fields } = found;
  const { status, reviewBy } = restorePart(restoring, "Standing", standing, "/standing");
  const { origin, ...value } = status;
  const localRules = localRulesFrom(restoring, proof);
  return {
    ...fields,
    status: { value, origin },
    ...(reviewBy && { reviewBy }),
    ...(localRules && { localRules }),
    agents,
    // The protocol's own stand before those of its emergencies.
    doses: [...doses.filter(({ emergency }) => !emergency), ...doses.filter(({ emergency }) => emergency)],
    declaredEvents: events,
    ...(preparation && {
      preparation: {
        items: preparation,
        origin: places.at("/protocol/preparation"),
        incomplete: false,
      },
    }),
    incomplete: false,
  };
}
