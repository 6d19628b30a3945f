import { Site } from "@limbwright/language";
import type { RuleFile, RunsExplored } from "@limbwright/shared/rule-file";
import type { RunEvent, State } from "@limbwright/shared/runtime";
import { expect, test } from "vitest";
import type { Protocol } from "../../language/model/index.ts";
import { catalogue } from "../../language/rules/catalogue.ts";
import { timingOf, watchersOf } from "../../language/rules/engine/runs-for.ts";
import { buildAutomaton, exploreRuns, type TracedAutomaton } from "../../language/runs/index.ts";
import { forgetDeadVariables } from "../../language/runs/live-variables.ts";
import { systemOf } from "../../language/runs/system.ts";
import { explore } from "../../language/runs/zones/explore.ts";
import { dueAt } from "../../shared/runtime/due.ts";
import { tryEvent } from "../../shared/runtime/offer.ts";
import { type Passage, passOn } from "../../shared/runtime/passage.ts";
import { isOver, type Program, programOf } from "../../shared/runtime/program.ts";
import { randomProtocol } from "../fuzz/random-protocol.ts";
import { again, firstSeed, howMany } from "../questions.ts";
import { type Random, randomFrom } from "../solver/random.ts";

const PROTOCOLS = howMany(150);
const WALKS_EACH = 30;
/** Protocols with more states, or more zones, are passed over. */
const MOST_STATES = 6_000;

const small = smallProtocols(firstSeed());

test("random walks through the runtime are runs that the exploration reaches", () => {
  const reachedOnce = new Set<string>();
  let steps = 0;
  for (const { seed, program, reached } of small) {
    const random = randomFrom(seed);
    for (let walk = 0; walk < WALKS_EACH; walk += 1) {
      const happenings = lawfulPart(program, randomWalk(program, random));
      for (const state of statesOf(program, happenings, again(seed))) {
        const told = `${again(seed)}: ${happenings.map(({ at, says }) => `${at} ${says}`).join(", ")}`;
        expect(reached(state), told).toBe(true);
        reachedOnce.add(`${seed} ${state.join(" ")}`);
        steps += 1;
      }
    }
  }
  expect(steps).toBeGreaterThan(PROTOCOLS * WALKS_EACH);
  expect(reachedOnce.size).toBeGreaterThan(PROTOCOLS * 3);
});

test("every run that the exploration shows can be followed", () => {
  let shown = 0;
  let passedOver = 0;
  for (const { seed, protocol } of small) {
    for (const leaks of [undefined, "one"] as const) {
      const options = { timing: timingOf(protocol), watchers: watchersOf(protocol, catalogue) };
      const runs = exploreRuns(protocol, { ...options, ...(leaks && { leaks }) });
      // With the doses counted and all rules watched there may be more states than are gone through.
      if (runs.kind === "not-explored") {
        passedOver += 1;
        continue;
      }
      const rules = new Set(runs.traced.automaton.checks.map(({ rule }) => rule));
      const found = [...rules].flatMap((rule) => runs.brokenBy(rule)).map(({ run }) => run);
      const all = [
        ...found,
        ...runs.stuck.stuck.map(({ run }) => run),
        ...runs.given.map(({ run }) => run()),
      ];
      shown += all.length;
      expect(
        all.every(({ steps }) => steps.every(({ at }) => at >= 0)),
        again(seed),
      ).toBe(true);
    }
  }
  expect(shown).toBeGreaterThan(PROTOCOLS);
  expect(passedOver).toBeLessThan(PROTOCOLS / 2);
});

interface SmallProtocol {
  readonly seed: number;
  readonly protocol: Protocol;
  readonly program: Program;
  /** Whether the exploration comes to a state, apart from what nobody asks any more. */
  readonly reached: (state: State) => boolean;
}

function smallProtocols(first: number): SmallProtocol[] {
  const found: SmallProtocol[] = [];
  for (let seed = first; found.length < PROTOCOLS; seed += 1) {
    const site = new Site((file) => (file === "random.limb" ? randomProtocol(seed) : undefined));
    const protocol = site.file("random.limb")?.protocols[0];
    const one = protocol && smallProtocol(seed, protocol);
    if (one) found.push(one);
  }
  return found;
}

function smallProtocol(seed: number, protocol: Protocol): SmallProtocol | undefined {
  // Random steps soon lack what they need: every other protocol is walked through without any rule.
  const watchers = seed % 2 === 0 ? watchersOf(protocol, catalogue) : [];
  const traced = buildAutomaton(protocol, { timing: timingOf(protocol), watchers, leaks: "one" });
  const kept = () => false;
  const system = systemOf(traced.automaton, { mostStates: MOST_STATES, kept });
  const exploration = system && explore(system, { extrapolation: "lower-upper", mostNodes: 4 * MOST_STATES });
  if (!system || exploration?.end !== "complete") return undefined;
  const forget = forgetDeadVariables(traced.automaton, kept);
  const keys = new Set([...exploration.states.keys()].map((id) => system.graph.nodes[id]?.state?.join(" ")));
  const file = fileWith(traced);
  const program = programOf(file, file.runs as RunsExplored);
  return { seed, protocol, program, reached: (state) => keys.has(forget(state).join(" ")) };
}

/** As much of a rule file as following it asks for. */
function fileWith({ automaton }: TracedAutomaton): RuleFile {
  const runs = { kind: "explored", automaton, timers: [] };
  return { runs, protocol: { timers: [] } } as unknown as RuleFile;
}

/** Says at random what can be said, at random times that the protocol allows, until nothing can be. */
function randomWalk(program: Program, random: Random): Passage {
  let passage = passOn(
    program,
    { standing: program.machine.start(), happenings: [] },
    "must",
    ({ at }) => at <= 0,
  );
  for (let left = 80; left > 0 && !isOver(program, passage.standing); left -= 1) {
    const said = randomSaying(program, passage, random);
    if (!said) break;
    const offered = tryEvent(program, passage, said.event, said.at);
    if (offered.kind === "accepted" && offered.late !== undefined) break;
    const isForbidden = endsTheRun(program, offered.rules);
    if (isForbidden && offered.kind === "accepted") break;
    // A rule that is broken does not end the run: it can be followed all the same.
    const isBroken = offered.kind === "refused" && offered.because === "breaks-a-rule" && !isForbidden;
    passage = (offered.kind === "accepted" ? offered.passage : isBroken && offered.anyway) || passage;
  }
  return passage;
}

const LONGEST_WAIT = 4000;

function randomSaying(
  program: Program,
  passage: Passage,
  random: Random,
): { readonly event: RunEvent; readonly at: number } | undefined {
  const { at } = passage.standing;
  const { next, inHand } = dueAt(program, passage, at);
  const possible = next.flatMap(({ event, from, to = (from ?? 0) + LONGEST_WAIT }) =>
    from === undefined || from > to ? [] : [{ event, from, to }],
  );
  const leaks = ["proximal", "distal"].map((cuff) => ({
    event: { kind: "leak", cuff } as const,
    from: at,
    to: Math.min(at + 600, ...possible.map(({ to }) => to)),
  }));
  const all = inHand !== undefined && random.oneIn(12) ? leaks : possible;
  if (all.length === 0) return undefined;
  const { event, from, to } = random.pick(all);
  const when = random.pick([from, to, from + random.below(Math.max(1, to - from + 1))]);
  return { event, at: when };
}

type Happenings = Passage["happenings"];

/** What happened up to the first thing after which runs are followed no further. */
function lawfulPart(program: Program, { happenings }: Passage): Happenings {
  const broken = happenings.findIndex(({ breaks }) => endsTheRun(program, breaks));
  return broken < 0 ? happenings : happenings.slice(0, broken);
}

function endsTheRun({ automaton }: Program, rules: readonly { readonly rule: string }[]): boolean {
  return rules.some(({ rule }) => automaton.checks.some((check) => check.rule === rule && check.endsRun));
}

/** The states that a walk comes through, each edge taken as strictly as the automaton says. */
function statesOf({ machine }: Program, happenings: Happenings, where: string): State[] {
  let standing = machine.start();
  return happenings.map(({ edge, at, says }) => {
    const next = machine.take(standing, edge, at);
    if ("kind" in next) throw new Error(`${where}: ${says} at ${at}: ${JSON.stringify(next)}`);
    standing = next;
    return next.state;
  });
}
