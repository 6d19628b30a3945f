import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { explore } from "../../../../language/runs/zones/explore.ts";
import { systemOf } from "../../../../language/runs/zones/finite-system.ts";
import { findStuck } from "../../../../language/runs/zones/stuck.ts";
import { traceTimes } from "../../../../language/runs/zones/trace-times.ts";
import { replay } from "../zones/replay.ts";
import { answer } from "./answer.ts";
import { type ReachabilityQuestion, readQuestions } from "./read.ts";

interface KnownAnswer {
  readonly id: string;
  readonly reachable: boolean;
  readonly minSteps: number | null;
  readonly earliest: { readonly time: number; readonly attained: boolean } | null;
  readonly stuckLocations: readonly string[];
  readonly reachableLocations: readonly string[];
  readonly witness: {
    readonly edges: readonly number[];
    readonly times: readonly (number | string)[];
  } | null;
}

const FILE = join(import.meta.dirname, "automata.json");
const TEXT = readFileSync(FILE, "utf8");
const KNOWN: readonly KnownAnswer[] = JSON.parse(TEXT).automata;
const QUESTIONS = readQuestions(TEXT);

function each(check: (question: ReachabilityQuestion, known: KnownAnswer) => void): void {
  QUESTIONS.forEach((question, at) => {
    const known = KNOWN[at];
    if (known === undefined) throw new Error("as many answers as questions");
    check(question, known);
  });
}

test("whether, in how many steps, how early, and where stuck: all 100 automata are answered right", () => {
  expect(QUESTIONS).toHaveLength(100);
  each((question, { id, reachable, minSteps, earliest, stuckLocations }) => {
    expect(answer(question)).toEqual({ id, reachable, minSteps, earliest, stuckLocations });
  });
});

test("the locations that some run enters are found", () => {
  each(({ automaton, locationNames, id }, known) => {
    const found = explore(systemOf(automaton), { extrapolation: "lower-upper" });
    const names = locationNames.filter((_, state) => found.states.has(state));
    expect(names, id).toEqual(known.reachableLocations);
  });
});

test("the shown run to each location replays, and has the fewest steps to the target", () => {
  each(({ automaton, target, id }, known) => {
    const system = systemOf(automaton);
    const found = explore(system, { extrapolation: "lower-upper" });
    for (const [state, node] of found.states) {
      const path = found.pathTo(node);
      const times = traceTimes(system, path);
      if (times === undefined) throw new Error(`${id}: no times lead to location ${state}`);
      expect(replay(system, path, times).state, id).toBe(state);
      if (state === target) expect(path.length, id).toBe(known.minSteps);
    }
  });
});

test("the shown run into a stuck location replays", () => {
  each(({ automaton, id }) => {
    const system = systemOf(automaton);
    for (const { state, path, times } of findStuck(system, {}).stuck) {
      expect(replay(system, path, times).state, id).toBe(state);
    }
  });
});

test("the known runs replay too", () => {
  each(({ automaton, target, id }, { witness }) => {
    if (witness === null) return;
    const edges = automaton.locations.flatMap((location) => location.edges);
    const path = witness.edges.map((number) => {
      const edge = edges.find((one) => one.id === number);
      if (edge === undefined) throw new Error(`${id} has no edge ${number}`);
      return { edge, passed: -1 };
    });
    const fractions = witness.times.map((time) => `${time}/1`.split("/").map(Number));
    const parts = fractions.reduce((product, [, denominator = 1]) => product * denominator, 1);
    const times = fractions.map(([numerator = 0, denominator = 1]) => (numerator * parts) / denominator);
    const end = times.at(-1) ?? 0;
    expect(replay(systemOf(automaton), path, { times, end }, parts).state, id).toBe(target);
  });
});

test("npm run reach writes one answer a line", () => {
  const { status, stdout, stderr } = reach(FILE);
  expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
  const lines = stdout.trimEnd().split("\n");
  expect(lines).toEqual(
    KNOWN.map(({ id, reachable, minSteps, earliest, stuckLocations }) =>
      JSON.stringify({ id, reachable, minSteps, earliest, stuckLocations }),
    ),
  );
});

test("npm run reach refuses a file that it cannot read, in words", () => {
  expect(reach("no-such-file.json")).toMatchObject({ status: 2, stdout: "" });
  expect(reach("no-such-file.json").stderr).toContain("no-such-file.json cannot be answered");
  expect(reach().stderr).toContain("Name one file");
});

function reach(...given: string[]) {
  const script = join(import.meta.dirname, "../../../../.development/reach.mjs");
  return spawnSync(process.execPath, [script, ...given], { encoding: "utf8" });
}
