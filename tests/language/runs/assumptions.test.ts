import { expect, test } from "vitest";
import { timingOf } from "../../../language/rules/engine/runs-for.ts";
import { assumptionsOf, promiseText } from "../../../language/runs/index.ts";
import { again, seeds } from "../../questions.ts";
import { checkExample } from "../../rules/page-examples.ts";
import { randomFrom } from "../../solver/random.ts";
import { protocolOf } from "./small-protocol.ts";

/** For each rule that leans on a bound: what takes at most, or at least, how long. */
function assumed(sections: string): Record<string, string[]> {
  const { check } = checkExample(sections);
  const judged = check.protocols.find(({ protocol: { name } }) => name === "example");
  const holding = judged?.verdicts.filter(({ kind }) => kind === "holds").map(({ rule }) => rule) ?? [];
  const assumptions = [...(judged?.explored.assumptionsOf(holding) ?? [])];
  return Object.fromEntries(
    assumptions.flatMap(([rule, bounds]) => {
      const words = bounds.map(({ what, bound, seconds }) => `${bound} ${what} ${seconds}`);
      return words.length > 0 ? [[rule, words]] : [];
    }),
  );
}

/** The steps of a block up to its injection. */
const OPENING = `apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal
    inject local`;

/** Systolic may rise as often as it likes, each time just before the stage would end. */
const RAISING = 'longest task "Raise the cuff pressure by as much as systolic has risen" 60';

const ACTIONS = ["longest action-time 75", "longest cuff-action-time 15"];

test("the longest occlusion leans on how long actions take; the waits that are written lean on nothing", () => {
  // A cannula that is never out, or a cuff action without an end, would put off every release. Once a staged
  // deflation takes as long as it likes, so may the cuff that comes up after it.
  expect(assumed("status draft")).toEqual({
    "deflation-too-long": ["longest cuff-action-time 15"],
    "occlusion-too-long": [...ACTIONS, RAISING],
    "timer-claim-broken": [...ACTIONS, RAISING],
  });
});

test("a task that is said to take at most a time is an assumption where nothing else ends it", () => {
  const steps = (more: string) => `steps {
    ${OPENING}
    stage procedure {
      task "Reduce and splint" takes 5 min to 40 min
      ${more}
    }
    wait for hold
    do staged-release
    recovery 30 min
  }`;
  const task = 'longest task "Reduce and splint" 2400';
  expect(assumed(steps(""))["occlusion-too-long"]).toEqual(["longest cuff-action-time 15", task]);
  const ended = steps("when hold reaches 45 min {\n        end stage\n      }");
  expect(assumed(ended)["occlusion-too-long"]).toEqual(["longest cuff-action-time 15"]);
});

test("a task that is said to take at least a time is one where a rule needs that time", () => {
  const swapped = `steps {
    ${OPENING}
    task "Wash and drape" takes 5 min to 8 min
    stage procedure {
      task "Reduce and splint" takes 5 min or more
      when tourniquet-pain once {
        inflate distal
        confirm distal
        deflate proximal
      }
      when hold reaches 45 min {
        end stage
      }
    }
    wait for hold
    do staged-release
    recovery 30 min
  }`;
  expect(assumed(swapped)["swap-before-onset"]).toEqual(['shortest task "Wash and drape" 300']);
});

test("a stage whose time is up cuts the rest short, which one that may last as long as it likes does not", () => {
  const cutShort = `steps {
    ${OPENING}
    wait 20 min
    stage procedure takes 5 min to 10 min {
      task "Operate" takes 1 min to 6 min
      task "Count swabs" takes 10 s to 1 min
      when tourniquet-pain once {
        inflate distal
        confirm distal
        deflate proximal
      }
    }
    wait for hold
    do staged-release
    recovery 30 min
  }
  require "Swift" {
    insert cannula within 10 min of apply cuffs
  }
  require "Swabs" {
    deflate all only after task "Count swabs"
  }`;
  expect(assumed(cutShort)["requirement-broken"]).toEqual(ACTIONS);
});

test("of each rule stays what dropping one bound after another leaves, however little is asked", () => {
  const tasks = ["A", "B", "C", "D"].map((name) => `    task "${name}" takes 1 min to 2 min`);
  const protocol = protocolOf({ steps: tasks.join("\n") });
  const rules = ["one", "two", "three"];
  let asked = 0;
  let most = 0;
  for (const seed of seeds(1_000)) {
    const random = randomFrom(seed);
    let names: string[] = [];
    // A rule is broken wherever all bounds of one of these sets are dropped.
    const breaking = new Map(
      rules.map((rule) => [rule, Array.from({ length: random.below(4) }, () => random.below(1023) + 1)]),
    );
    const isProven = (rule: string, dropped: ReadonlySet<string>) =>
      !(breaking.get(rule) ?? []).some((set) =>
        names.every((name, at) => ((set >> at) & 1) === 0 || dropped.has(name)),
      );
    const found = assumptionsOf(protocol, timingOf(protocol), rules, ({ steps: dropped }) => {
      asked += 1;
      if (names.length === 0) names = [...dropped];
      return new Set(rules.filter((rule) => isProven(rule, dropped)));
    });
    for (const rule of rules) {
      const spared = new Set<string>();
      for (const name of names) if (isProven(rule, new Set([...spared, name]))) spared.add(name);
      const needed = names.flatMap((name, at) => (spared.has(name) ? [] : [BOUNDS[at]]));
      expect(
        found.get(rule)?.map(({ what, bound }) => `${bound} ${what}`),
        again(seed),
      ).toEqual(needed);
      most += needed.length > 0 ? 1 + names.length : 1;
    }
  }
  expect(asked).toBeLessThan(most * 0.7);
});

const BOUNDS = [
  "longest action-time",
  "longest cuff-action-time",
  ...["A", "B", "C", "D"].flatMap((name) => [`longest task "${name}"`, `shortest task "${name}"`]),
];

/** What is promised in a protocol whose stage holds some tasks. */
function promised(stage: string): string[] {
  const { check } = checkExample(`steps {
    ${OPENING}
    stage procedure {
      ${stage}
    }
    wait for hold
    do staged-release
    recovery 30 min
  }`);
  const judged = check.protocols.find(({ protocol: { name } }) => name === "example");
  const holding = judged?.verdicts.filter(({ kind }) => kind === "holds").map(({ rule }) => rule) ?? [];
  return (judged?.explored.promisesOf(holding) ?? []).map(promiseText);
}

const ENDED = "when hold reaches 45 min {\n        end stage\n      }";

test.each<[string, string, string[]]>([
  [
    "a task that nothing ends",
    'task "Reduce" takes 5 min to 40 min',
    ['"Reduce" never takes more than 40 min'],
  ],
  ["not a task that a timer ends", `task "Reduce" takes 5 min to 40 min\n${ENDED}`, []],
  ["not a task without a longest time", `task "Reduce"\n${ENDED}`, []],
  [
    "each of two tasks",
    'task "Reduce" takes 5 min to 20 min\ntask "Splint" takes 1 min to 9 min',
    ['"Reduce" never takes more than 20 min', '"Splint" never takes more than 9 min'],
  ],
  [
    "a task in a handler",
    `task "Reduce"\n${ENDED}\nwhen patient-distress {\ntask "Reassure" takes 1 min to 3 min\n}`,
    ['"Reassure" never takes more than 3 min'],
  ],
  [
    "not a task that takes no longer than an action",
    `task "Reduce"\n${ENDED}\nwhen patient-distress {\ntask "Reassure" takes 10 s to 1 min\n}`,
    [],
  ],
])("proofs lean on the promised time of %s", (_, stage, said) => {
  expect(promised(stage)).toEqual(said);
});
