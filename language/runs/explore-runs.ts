import { type Origin, originKey } from "@limbwright/shared/finding";
import { thousands } from "@limbwright/shared/quantity";
import { type Machine, machineOf } from "@limbwright/shared/runtime";
import type { Protocol } from "../model/index.ts";
import { buildAutomaton } from "./automaton/build-automaton.ts";
import type { Element, TracedAutomaton } from "./automaton/draft.ts";
import type { Timing } from "./automaton/durations.ts";
import { cuffNames, doseOf } from "./automaton/facts.ts";
import type { Leaks } from "./automaton/place.ts";
import type { Instant, Watcher } from "./automaton/watch.ts";
import { concreteRun, type TimedMove, UnreplayableRun } from "./concrete-run.ts";
import { type EnvelopeSearch, envelopeSearch } from "./envelope.ts";
import { collectReachedCounts, type ReachedState } from "./given-doses.ts";
import { releaseRuns } from "./release-runs.ts";
import type {
  BrokenCheck,
  ExploredRuns,
  GivenDoses,
  ReleaseRuns,
  Run,
  Runs,
  RunsWithLeak,
  StuckRuns,
  UnexploredRuns,
  UntimedExploredRuns,
  UntimedRuns,
} from "./runs.ts";
import { stuckRuns } from "./stuck-runs.ts";
import { MOST_STATES, type ProtocolSystem, systemOf } from "./system.ts";
import { movesWithTimes } from "./timed-moves.ts";
import { type Exploration, explore } from "./zones/explore.ts";
import type { Leg } from "./zones/path.ts";

export interface RunOptions {
  readonly timing: Timing;
  readonly watchers: readonly Watcher[];
  /** Leaks as single faults; none without it. */
  readonly leaks?: Leaks;
  readonly isCancelled?: () => boolean;
}

/** How much is explored before the answer is *not decided*: the same on every machine. */
export const MOST_NODES = 200_000;

/** Goes through every run that a protocol allows. */
export function exploreRuns(protocol: Protocol, options: RunOptions): Runs {
  const missing = whyNoRuns(protocol);
  if (missing) return missing;
  const traced = buildAutomaton(protocol, options);
  const envelope = envelopeSearch(traced.automaton, cuffNames(protocol));
  const explored = exploreAll({ protocol, traced }, options, envelope);
  return "limit" in explored ? explored : new TimedExplored({ ...explored, envelope });
}

/** The same for less, where nobody asks how early and how late the runs release. */
export function exploreUntimedRuns(protocol: Protocol, options: RunOptions): UntimedRuns {
  const missing = whyNoRuns(protocol);
  if (missing) return missing;
  const explored = exploreAll({ protocol, traced: buildAutomaton(protocol, options) }, options);
  return "limit" in explored ? explored : new Explored(explored);
}

/**
 * Goes through every run with one leak. Of what rules watch for only that is looked for which ends the following of a run, or which
 * they ask about leaks alone.
 */
export function exploreLeaks(protocol: Protocol, options: RunOptions): RunsWithLeak {
  const watchers = options.watchers.map((watcher) => ({
    ...watcher,
    checksAt: (instant: Instant) =>
      watcher.checksAt(instant).filter(({ endsRun, inLeaks }) => endsRun || inLeaks),
  }));
  return exploreUntimedRuns(protocol, { ...options, watchers, leaks: "one" });
}

function exploreAll(
  of: Pick<Exploring, "protocol" | "traced">,
  { isCancelled }: RunOptions,
  envelope?: EnvelopeSearch,
): Exploring | UnexploredRuns {
  const cancelling = isCancelled && { isCancelled };
  const system = systemOf(of.traced.automaton, {
    mostStates: MOST_STATES,
    ...(envelope && { exactAt: envelope.clocksAt }),
    kept: (variable) => doseOf(variable) !== undefined || (envelope?.asks(variable) ?? false),
    ...cancelling,
  });
  if (!system) {
    return notExplored(
      isCancelled?.()
        ? INTERRUPTED
        : `the runs pass through more than ${thousands(MOST_STATES)} states, and are not all gone through`,
    );
  }
  const taken = new Set<number>();
  const exploration = explore(system, {
    extrapolation: "lower-upper",
    mostNodes: MOST_NODES,
    ...cancelling,
    onEdge: (edge, node, zone) => {
      taken.add(edge.id);
      envelope?.take(system.graph, edge, node, zone);
    },
  });
  return { ...of, system, exploration, taken, ...cancelling };
}

const INTERRUPTED = "it was interrupted";

function limitOf({ end }: Exploration): string | undefined {
  if (end === "cancelled") return INTERRUPTED;
  if (end !== "out-of-budget") return undefined;
  return `the runs are too many: ${thousands(MOST_NODES)} states with their times were gone through, and there are more`;
}

/** Why a protocol has no runs to go through; undefined where it has. */
export function whyNoRuns(protocol: Protocol): UnexploredRuns | undefined {
  if (protocol.incomplete) {
    return notExplored("a part of the steps was not understood, so the runs are not known");
  }
  if (!protocol.steps) return notExplored("the protocol has no `steps`", protocol.nameOrigin);
  if (!protocol.cuffs) return notExplored("the protocol has no `cuffs`", protocol.nameOrigin);
  return undefined;
}

function notExplored(limit: string, origin?: Origin): UnexploredRuns {
  return { kind: "not-explored", limit, ...(origin && { origin }) };
}

interface Exploring {
  readonly protocol: Protocol;
  readonly traced: TracedAutomaton;
  readonly system: ProtocolSystem;
  readonly exploration: Exploration;
  /** The edges that some run takes. */
  readonly taken: ReadonlySet<number>;
  readonly isCancelled?: () => boolean;
}

/** What was explored; runs are worked out when they are asked for. */
class Explored implements UntimedExploredRuns {
  readonly kind = "explored";
  readonly limit?: string;
  readonly endedBy: readonly string[];
  readonly traced: TracedAutomaton;
  readonly #exploring: Exploring;
  protected readonly machine: Machine;
  readonly #broken = new Map<string, BrokenCheck[]>();
  #stuck: StuckRuns | undefined;
  #given: readonly GivenDoses[] | undefined;

  constructor(exploring: Exploring) {
    this.#exploring = exploring;
    const { exploration, traced } = exploring;
    this.traced = traced;
    const limit = limitOf(exploration);
    if (limit !== undefined) this.limit = limit;
    this.machine = machineOf(traced.automaton);
    const ending = this.#brokenChecks().map((number) => traced.automaton.checks[number]);
    this.endedBy = [...new Set(ending.flatMap((check) => (check?.endsRun ? [check.rule] : [])))];
  }

  breaks(rule: string): boolean {
    const { checks } = this.#exploring.traced.automaton;
    return this.#brokenChecks().some((number) => checks[number]?.rule === rule);
  }

  brokenBy(rule: string): readonly BrokenCheck[] {
    const known = this.#broken.get(rule);
    if (known) return known;
    const { checks } = this.#exploring.traced.automaton;
    const groups = new Map<string, number[]>();
    for (const number of this.#brokenChecks()) {
      if (checks[number]?.rule !== rule) continue;
      const origin = this.#exploring.traced.checkOrigins[number] ?? this.#exploring.protocol.nameOrigin;
      const key = `${originKey(origin)} ${checks[number]?.about ?? ""}`;
      groups.set(key, [...(groups.get(key) ?? []), number]);
    }
    const found = [...groups.values()].map((numbers) => this.#brokenCheck(rule, numbers));
    this.#broken.set(rule, found);
    return found;
  }

  get stuck(): StuckRuns {
    this.#stuck ??= stuckRuns({
      ...this.#exploring,
      mostNodes: MOST_NODES,
      run: (legs, end) => this.#run(legs, end),
    });
    return this.#stuck;
  }

  get unreached(): readonly Element[] {
    const reached = new Set(
      [...this.#exploring.taken]
        .map((id) => this.#exploring.system.graph.meanings[id]?.move?.edge)
        .filter((edge) => edge !== undefined),
    );
    const keyOf = ({ origin, kind, answer }: Element) => `${originKey(origin)} ${kind} ${answer}`;
    const isReached = ({ edges }: Element) => edges.some((edge) => reached.has(edge));
    const { elements } = this.#exploring.traced;
    const reachedKeys = new Set(elements.filter(isReached).map(keyOf));
    const unreached = elements.filter((element) => !reachedKeys.has(keyOf(element)));
    return [...new Map(unreached.map((element) => [keyOf(element), element])).values()];
  }

  get given(): readonly GivenDoses[] {
    this.#given ??= this.#givenDoses();
    return this.#given;
  }

  #givenDoses(): GivenDoses[] {
    const { exploration, system, protocol, traced } = this.#exploring;
    const reached = [...exploration.states].flatMap(([id, node]): ReachedState[] => {
      const state = system.graph.nodes[id]?.state;
      return state ? [{ id, state, decisions: exploration.node(node).decisions }] : [];
    });
    const doses = protocol.doses.map(({ name }) => name).sort();
    return collectReachedCounts(traced.automaton, doses, reached).map(({ id, ...counts }) => ({
      ...counts,
      run: () => this.#run(this.#earliestTo((state) => state === id)),
    }));
  }

  /** The numbers of the checks that some run breaks. */
  #brokenChecks(): number[] {
    const { nodes } = this.#exploring.system.graph;
    return [...this.#exploring.exploration.states.keys()].flatMap((id) => nodes[id]?.check ?? []);
  }

  #brokenCheck(rule: string, numbers: readonly number[]): BrokenCheck {
    const [first = 0] = numbers;
    const { checks } = this.#exploring.traced.automaton;
    const about = checks[first]?.about;
    const targets = new Set(numbers.map((number) => this.#exploring.system.graph.checkNodes.get(number)));
    return {
      rule,
      ...(about !== undefined && { about }),
      origin: this.#exploring.traced.checkOrigins[first] ?? this.#exploring.protocol.nameOrigin,
      run: this.#run(this.#earliestTo((state) => targets.has(state))),
    };
  }

  /** The path with the fewest decisions, and of those the earliest. */
  #earliestTo(stopAt: (state: number) => boolean): readonly Leg[] {
    const { system, isCancelled } = this.#exploring;
    const search = explore(system, {
      extrapolation: "lower-upper",
      withTotalTime: true,
      stopAt,
      ...(isCancelled && { isCancelled }),
    });
    if (search.end === "cancelled") throw new UnreplayableRun("the search was cancelled", INTERRUPTED);
    if (search.target === undefined) {
      throw new UnreplayableRun("a state that was reached is not reached again");
    }
    return search.pathTo(search.target);
  }

  #run(legs: readonly Leg[], end?: number): Run {
    const moves = movesWithTimes(this.#exploring.system, legs);
    if (!moves) throw new UnreplayableRun("the times of a run contradict each other");
    const waiting: TimedMove[] = end === undefined ? [] : [{ at: end }];
    return concreteRun(this.machine, this.#exploring.traced, [...moves, ...waiting]);
  }
}

/** The same with the times of the release and the occlusion. */
class TimedExplored extends Explored implements ExploredRuns {
  readonly #timed: Exploring & { readonly envelope: EnvelopeSearch };
  #releases: ReleaseRuns | undefined;

  constructor(timed: Exploring & { readonly envelope: EnvelopeSearch }) {
    super(timed);
    this.#timed = timed;
  }

  get envelope() {
    return this.#timed.envelope.envelope();
  }

  get releases(): ReleaseRuns {
    this.#releases ??= releaseRuns({ ...this.#timed, machine: this.machine });
    return this.#releases;
  }
}
