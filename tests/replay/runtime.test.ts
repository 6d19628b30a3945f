import type { RuleFile } from "@limbwright/shared/rule-file";
import {
  type Case,
  contraindicationsOf,
  type RunEvent,
  start,
  wordsOfEvent,
} from "@limbwright/shared/runtime";
import { describe, expect, test } from "vitest";
import { randomFrom } from "../../examples/tarn-hollow/cases/made-case.mjs";
import { csvRow } from "../../examples/tarn-hollow/cases/rows.mjs";
import { again, firstSeed, howMany } from "../questions.ts";
import { anyhow } from "../runtime/started-case.ts";
import { judgeOf, replayed } from "./replayed.ts";

const PROTOCOLS = ["wrist-reduction", "finger-suture", "ankle-reduction", "prilocaine-wrist", "injured-arm"];

describe.each(PROTOCOLS)("%s", (protocol) => {
  const judge = judgeOf(protocol);

  test("what the runtime accepts at its time is no deviation", () => {
    const random = randomFrom(firstSeed());
    for (let walk = 0; walk < howMany(150); walk += 1) {
      const told = walked(judge.file, random);
      const { cases } = replayed(judge, recordOf(told));
      const record = recordOf(told);
      const deviations = cases[0]?.deviations.map(({ words }) => words);
      expect([record, deviations], again(firstSeed())).toEqual([record, []]);
    }
  });

  test("a step that the runtime refuses for its time or its rules is a deviation", () => {
    const random = randomFrom(firstSeed());
    let refused = 0;
    for (let walk = 0; walk < howMany(400); walk += 1) {
      const told = walked(judge.file, random, true);
      const last = told.at(-1);
      if (!last?.isRefused) continue;
      refused += 1;
      const { cases } = replayed(judge, recordOf(told));
      const found = cases[0]?.deviations.filter(({ at }) => at === last.at);
      expect({ last, found: (found?.length ?? 0) > 0 }, again(firstSeed())).toEqual({ last, found: true });
    }
    expect(refused).toBeGreaterThan(0);
  });
});

interface Told {
  readonly event: RunEvent;
  readonly at: number;
  readonly isRefused?: boolean;
}

/** What a team tells that follows what the runtime says, at times that it allows; at the end one thing that it refuses. */
function walked(file: RuleFile, random: () => number, isToFail = false): Told[] {
  const answers = Object.fromEntries(contraindicationsOf(file).map((condition) => [condition, false]));
  const started = start(file, {}, answers, { ...anyhow(file), rehearsal: true });
  if (started.kind === "refused") throw new Error(started.reasons[0]?.words);
  const told: Told[] = [];
  let now: Case = started.case;
  const length = isToFail ? 10 + Math.floor(random() * 22) : 60;
  while (told.length < length && !now.isOver) {
    const early = isToFail && told.length === length - 1 ? tooEarly(now) : undefined;
    if (early) return [...told, { ...early, isRefused: true }];
    const next = now
      .due(now.at)
      .next.filter(({ from, forbiddenBy }) => from !== undefined && forbiddenBy.length === 0);
    // Events are rarer than what comes next by plan.
    const plain = next.filter(({ event }) => event.kind !== "event" || random() < 0.1);
    const chosen = plain[Math.floor(random() * plain.length)];
    if (!chosen) break;
    const { event, from = 0, to = from + 60 } = chosen;
    const at = event.kind === "event" ? from : Math.min(to, from + Math.floor(random() * 10));
    const offered = now.offer(event, at);
    if (offered.kind === "refused" || offered.rules.length > 0) break;
    told.push({ event, at });
    now = offered.case;
  }
  return told;
}

/** Something that is next, but not yet. */
function tooEarly(now: Case): Told | undefined {
  for (const { event, from } of now.due(now.at).next) {
    if (from === undefined || from <= now.at + 1) continue;
    const at = now.at + 1;
    if (now.offer(event, at).kind === "refused") return { event, at };
  }
  return undefined;
}

function recordOf(told: readonly Told[]): string {
  const first = told[0]?.at ?? 0;
  const rows = told.map(({ event, at }) => {
    const value = event.kind === "leak" ? event.cuff : wordsOfEvent(event);
    return csvRow({ case: "walk", time: String(at - first), event: event.kind, value });
  });
  return `case,time,event,value\n${rows.join("")}`;
}
