import { type Dimension, MASS, MASS_RATE, VOLUME, VOLUME_RATE } from "@limbwright/shared/quantity";
import type {
  Agent as FileAgent,
  Dose as FileDose,
  Protocol as FileProtocol,
  Formula,
} from "@limbwright/shared/rule-file";
import { pointer } from "@limbwright/shared/rule-file";
import {
  type Adjuvant,
  type Agent,
  type Dose,
  massAndVolume,
  type WrittenQuantity,
} from "../../model/index.ts";
import { measuredFrom } from "./amounts.ts";
import type { Places } from "./places.ts";
import { durationFrom, intervalFrom, quantityFrom } from "./values.ts";

/** The agents of a protocol by their names. */
export function agentsFrom(places: Places, { agents }: FileProtocol): ReadonlyMap<string, Agent> {
  return new Map(
    agents.map((agent, index) => [agent.name, agentFrom(places, agent, `/protocol/agents/${index}`)]),
  );
}

function agentFrom(places: Places, agent: FileAgent, path: string): Agent {
  const { title, kind, atc, supply, diluent, contraindicated } = agent;
  const origin = places.at(path);
  const at = (key: string) => places.at(pointer(path, key));
  return {
    name: agent.name,
    ...(title !== undefined && { title }),
    origin,
    nameOrigin: at("name"),
    ...(kind && { kind: { value: kind, origin: at("kind") } }),
    ...(atc !== undefined && { atc: { value: atc, origin: at("atc") } }),
    concentrations: places.inTextOrder(agent.concentrations, `${path}/concentrations`, (one, where) =>
      quantityFrom(one, places.at(where)),
    ),
    ...(supply && {
      supply: {
        concentration: quantityFrom(supply.concentration, at("supply")),
        volume: quantityFrom(supply.volume, at("supply")),
        origin: at("supply"),
      },
    }),
    ...(diluent !== undefined && { diluent: { value: diluent, origin: at("diluent") } }),
    ...(agent.plain && { plain: at("plain") }),
    ...(agent.preservativeFree && { preservativeFree: at("preservativeFree") }),
    maxima: places.inTextOrder(agent.maxima, `${path}/maxima`, ({ limit, ages }, where) => ({
      limit: quantityFrom(limit, places.at(where)),
      ...(ages && { ages: intervalFrom(ages) }),
      origin: places.at(where),
    })),
    ...(contraindicated !== undefined && {
      contraindicated: { value: contraindicated, origin: at("contraindicated") },
    }),
    cautions: places.inTextOrder(agent.cautions, `${path}/cautions`, (caution, where) => ({
      ...caution,
      origin: places.at(where),
    })),
    sources: places.inTextOrder(agent.sources, `${path}/sources`, (value, where) => ({
      value,
      origin: places.at(where),
    })),
  };
}

/** The doses in the order in which they are read: the protocol's own, then those of its emergencies. */
export function dosesFrom(
  places: Places,
  { doses }: FileProtocol,
  agents: ReadonlyMap<string, Agent>,
): Dose[] {
  const all = places.inTextOrder(doses, "/protocol/doses", (dose, path) =>
    doseFrom(places, dose, path, agents),
  );
  const isOwn = ({ emergency }: Dose) => emergency === undefined;
  return [...all.filter(isOwn), ...all.filter((dose) => !isOwn(dose))];
}

const AMOUNTS: readonly Dimension[] = [MASS, VOLUME];
const RATES: readonly Dimension[] = [MASS_RATE, VOLUME_RATE];

function doseFrom(places: Places, dose: FileDose, path: string, agents: ReadonlyMap<string, Agent>): Dose {
  const at = (key: string) => places.at(pointer(path, key));
  const agent = agents.get(dose.agent);
  const concentration = dose.concentration && concentrationFrom(places, dose, path, agent);
  const context = { places, ...(concentration && { concentration }) };
  const formula = (key: string, of: Formula, expected: readonly Dimension[]) =>
    measuredFrom(context, of, `${path}/${key}`, expected);
  const amount = dose.amount && formula("amount/formula", dose.amount.formula, AMOUNTS);
  const same = dose.amount?.sameFormula && formula("amount/sameFormula", dose.amount.sameFormula, AMOUNTS);
  const { over, repeat, rate, total, emergency } = dose;
  return {
    name: dose.name,
    origin: places.at(path),
    nameOrigin: at("name"),
    ...(agent && { agent }),
    agentOrigin: at("agent"),
    ...(concentration && { concentration }),
    ...(amount && { amount }),
    ...(same && { sameAmount: same }),
    ...massAndVolume(amount, concentration),
    ...(over && { over: durationFrom(over, at("over")) }),
    ...(repeat && {
      repeat: {
        times: repeat.times,
        interval: quantityFrom(repeat.interval, at("repeat")),
        ...(repeat.condition !== undefined && {
          condition: { value: repeat.condition, origin: places.at(`${path}/repeat/condition`) },
        }),
        origin: at("repeat"),
      },
    }),
    ...(rate && { rate: formula("rate/formula", rate.formula, RATES) }),
    ...(total && { total: formula("total/formula", total.formula, AMOUNTS) }),
    adjuvants: places.inTextOrder(dose.adjuvants, `${path}/adjuvants`, (adjuvant, where) =>
      adjuvantFrom(places, adjuvant, where, agents),
    ),
    ...(emergency !== undefined && { emergency }),
  };
}

/** The agent's own concentration where it is the same, so that it has the place where it was written. */
function concentrationFrom(
  places: Places,
  { concentration }: FileDose,
  path: string,
  agent: Agent | undefined,
): WrittenQuantity | undefined {
  const named = concentration && quantityFrom(concentration, places.at(path));
  const [only, another] = agent?.concentrations ?? [];
  return only && !another && named?.value.equals(only.value) ? only : named;
}

function adjuvantFrom(
  places: Places,
  { agent: name, amount }: FileDose["adjuvants"][number],
  path: string,
  agents: ReadonlyMap<string, Agent>,
): Adjuvant {
  const agent = agents.get(name);
  const concentration = agent?.concentrations.length === 1 ? agent.concentrations[0] : undefined;
  const context = { places, ...(concentration && { concentration }) };
  const restored = amount && measuredFrom(context, amount.formula, `${path}/amount/formula`, AMOUNTS);
  return {
    ...(agent && { agent }),
    ...(restored && { amount: restored }),
    ...massAndVolume(restored, concentration),
    origin: places.at(path),
  };
}
