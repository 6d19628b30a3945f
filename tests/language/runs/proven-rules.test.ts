import { expect, test } from "vitest";
import { allSteps, type Protocol } from "../../../language/model/index.ts";
import { catalogue } from "../../../language/rules/catalogue.ts";
import { timingOf, watchersOf } from "../../../language/rules/engine/runs-for.ts";
import { ACTION_TIME, boundName, CUFF_ACTION_TIME } from "../../../language/runs/automaton/durations.ts";
import {
  type Assumption,
  assumptionsOf,
  exploreRuns,
  OCCLUSION,
  provenRules,
  REQUIREMENT_RULE,
  type Runs,
  type Watcher,
} from "../../../language/runs/index.ts";
import { again, asksAll, seeds } from "../../questions.ts";
import { type Random, randomFrom } from "../../solver/random.ts";
import { protocolOf } from "./small-protocol.ts";

const PROTOCOLS = seeds(100);
const DROPS_EACH = 6;
const CLAIMS = 10;

test("asking without some bounds says what going through all runs without them says", {
  timeout: 60_000,
}, () => {
  const counts = { proven: 0, broken: 0, ofStage: 0, requirements: 0 };
  for (const seed of PROTOCOLS) {
    const random = randomFrom(seed);
    const protocol = randomTimes(random);
    const watchers = [...watchersOf(protocol, catalogue), ...randomClaims(random)];
    const rules = [...new Set([...watchers.map(({ rule }) => rule), REQUIREMENT_RULE])];
    const timing = timingOf(protocol);
    const provenWithout = provenRules(protocol, rules, { watchers, timing });
    for (let drop = 0; drop < DROPS_EACH; drop += 1) {
      const dropped = new Set(boundsOf(protocol).filter(() => random.oneIn(2)));
      const runs = exploreRuns(protocol, { watchers, timing: { ...timing, dropped } });
      const expected = rules.filter((rule) => isProven(runs, rule));
      const found = provenWithout(parted(protocol, dropped));
      expect([...found].sort(), `${again(seed)}, without ${[...dropped].join(", ")}`).toEqual(
        expected.sort(),
      );
      counts.proven += found.size;
      counts.broken += rules.length - found.size;
      counts.ofStage += [...dropped].filter((name) => isOfStage(protocol, name)).length;
      counts.requirements += found.has(REQUIREMENT_RULE) ? 1 : 0;
    }
  }
  expect(Math.min(counts.proven, counts.broken), JSON.stringify(counts)).toBeGreaterThan(5);
  if (!asksAll()) return;
  expect(Math.min(counts.ofStage, counts.requirements), JSON.stringify(counts)).toBeGreaterThan(5);
  expect(counts.requirements).toBeLessThan(PROTOCOLS.length * DROPS_EACH);
});

test("what a rule leans on is what dropping one bound after another leaves, each time with all runs", {
  timeout: 60_000,
}, () => {
  let leaning = 0;
  let ofStage = 0;
  for (const seed of PROTOCOLS) {
    const random = randomFrom(seed);
    const protocol = randomTimes(random);
    const watchers = [...watchersOf(protocol, catalogue), ...randomClaims(random)];
    const timing = timingOf(protocol);
    const known = new Map<string, Runs>();
    const holds = (rule: string, dropped: readonly string[]) => {
      const runs =
        known.get(dropped.join()) ??
        exploreRuns(protocol, { watchers, timing: { ...timing, dropped: new Set(dropped) } });
      known.set(dropped.join(), runs);
      return isProven(runs, rule);
    };
    const rules = [...watchers.map(({ rule }) => rule), REQUIREMENT_RULE].filter((rule) => holds(rule, []));
    const ofHolding = watchers.filter(({ rule }) => rules.includes(rule));
    const provenWithout = provenRules(protocol, rules, { watchers: ofHolding, timing });
    const found = assumptionsOf(protocol, timing, rules, provenWithout);
    for (const rule of rules) {
      const needed = (found.get(rule) ?? []).map(nameOf);
      expect(needed, `${again(seed)}: ${rule}`).toEqual(
        plainlyNeeded(boundsOf(protocol), (one) => holds(rule, one)),
      );
      leaning += needed.length > 0 ? 1 : 0;
      ofStage += needed.filter((name) => isOfStage(protocol, name)).length;
    }
  }
  expect(leaning).toBeGreaterThan(PROTOCOLS.length / 2);
  if (asksAll()) expect(ofStage).toBeGreaterThan(0);
});

/** The bounds without which a rule is broken, found by trying each. */
function plainlyNeeded(bounds: readonly string[], holds: (dropped: readonly string[]) => boolean): string[] {
  if (holds(bounds)) return [];
  const spared: string[] = [];
  for (const bound of bounds) if (holds([...spared, bound])) spared.push(bound);
  return bounds.filter((bound) => !spared.includes(bound));
}

function nameOf({ what, bound, origin }: Assumption): string {
  return origin ? boundName(bound, { origin }) : what;
}

/** What it means that no run breaks a rule, read off all runs. */
function isProven(runs: Runs, rule: string): boolean {
  return (
    runs.kind === "explored" && runs.limit === undefined && runs.endedBy.length === 0 && !runs.breaks(rule)
  );
}

/** What nobody would ask, so that every time of a step matters to something: the end of a step after a time, or before it. */
function randomClaims(random: Random): Watcher[] {
  return Array.from({ length: CLAIMS }, (_, number): Watcher => {
    const kind = random.pick(["inject", "task", "inflate", "deflate", "watch"]);
    const is = random.pick(["under", "over"] as const);
    const seconds = random.pick([5, 15, 30, 60, 120, 300, 1300, 2400]);
    return {
      rule: `claim ${number}`,
      checksAt: (instant) =>
        instant.kind === "end" && instant.step.kind === kind
          ? [{ about: "time", clocks: [{ clock: OCCLUSION, is, seconds }] }]
          : [],
    };
  });
}

/** A block in which many steps say how long they take; some say so by a stage, and some times are too long for the rules. */
function randomTimes(random: Random): Protocol {
  const takes = () =>
    random.pick(["", "", " takes 10 s to 40 s", " takes 1 min to 4 min", " takes 2 min or more"]);
  const action = (says: string) => `    ${says}${takes()}`;
  const steps = [
    action("apply cuffs"),
    action("insert cannula"),
    "    exsanguinate by elevation 1 min",
    action("inflate proximal"),
    action("confirm proximal"),
    action("inject local"),
    `    stage procedure${takes()} {`,
    action('  task "Operate"'),
    action('  task "Count swabs"'),
    "      when tourniquet-pain once {",
    action("    inflate distal"),
    action("    confirm distal"),
    action("    deflate proximal"),
    "      }",
    ...(random.oneIn(2) ? ["      when hold reaches 45 min {", "        end stage", "      }"] : []),
    "    }",
    "    wait for hold",
    `    repeat 2 times {\n${action("  deflate all for 90 s")}\n      watch 1 min\n    }`,
    action("deflate all"),
    "    recovery 30 min",
  ];
  const more = `  timer hold from end of local {
    at least 20 min
    at most ${random.pick([30, 60])} min
  }
  require "Swabs" {
    deflate all only after task "Count swabs"
  }
  require "Swift" {
    inject local within ${random.pick([1, 3, 30])} min of inflate proximal
  }`;
  return protocolOf({ steps: steps.join("\n"), more });
}

function boundsOf(protocol: Protocol): string[] {
  const names = [...allSteps(protocol)].flatMap((step) => [
    ...(step.takes?.longest ? [boundName("longest", step)] : []),
    ...(step.takes && step.takes.shortest.compare(0) > 0 ? [boundName("shortest", step)] : []),
  ]);
  return [ACTION_TIME, CUFF_ACTION_TIME, ...new Set(names)];
}

function parted(protocol: Protocol, dropped: ReadonlySet<string>) {
  const names = (ofStages: boolean) =>
    new Set([...dropped].filter((name) => isOfStage(protocol, name) === ofStages));
  return { steps: names(false), stages: names(true) };
}

function isOfStage(protocol: Protocol, name: string): boolean {
  const stages = [...allSteps(protocol)].filter((step) => step.kind === "stage" && step.takes);
  return stages.some((step) => boundName("shortest", step) === name || boundName("longest", step) === name);
}
