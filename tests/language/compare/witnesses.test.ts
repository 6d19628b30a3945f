import { type Change, compileFile } from "@limbwright/language";
import type { RunEvidence } from "@limbwright/shared/finding";
import { type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";
import { type Case, type Move, machineOf, start } from "@limbwright/shared/runtime";
import { expect, test } from "vitest";
import { follow, type Sight } from "../../../language/runs/inclusion/follow.ts";
import { eventFrom } from "../../runtime/event-from.ts";
import { anyhow } from "../../runtime/started-case.ts";
import { EDITS } from "./edits.ts";
import { comparedFile, edited, exampleText, ON, siteWith, WRIST } from "./two-versions.ts";

/*
 * Every change that is said to be looser shows somebody or something that the later version lets pass and the earlier one
 * does not. Here each is taken through the runtime with the rule files of both, which know nothing of the comparison.
 */

const LOOSER = EDITS.filter(({ kind }) => kind === "looser");
const BEFORE = versionOf(exampleText(WRIST));

interface Version {
  readonly text: string;
  readonly file: RuleFile;
}

function versionOf(text: string): Version {
  const [compiled] = compileFile(siteWith({ [WRIST]: text }), WRIST, { on: ON, draft: true }) ?? [];
  if (compiled?.kind !== "written") throw new Error(`not compiled: ${compiled?.because}`);
  const read = readRuleFile(compiled.text);
  if (read.kind !== "read") throw new Error("the rule file is not read");
  return { text, file: read.file };
}

function changesOf(now: Version, before = BEFORE): readonly Change[] {
  return comparedFile(WRIST, { [WRIST]: before.text }, { [WRIST]: now.text }).changes;
}

/** Who is let in: a patient in the words of the evidence, "40 kg, age 20 years, systolic 90 mmHg". */
function patientOf(words: string) {
  const number = (pattern: RegExp) => pattern.exec(words)?.[1];
  const [weight, age, systolic, circumference] = [
    number(/([\d.]+) kg/),
    number(/age ([\d.]+) years/),
    number(/systolic ([\d.]+) mmHg/),
    number(/circumference ([\d.]+) cm/),
  ];
  return {
    weight: { value: weight ?? "70", unit: "kg" as const },
    age: { value: age ?? "40", unit: "a" as const },
    systolic: { value: systolic ?? "120", unit: "mm[Hg]" as const },
    circumference: { value: circumference ?? "30", unit: "cm" as const },
  };
}

function started({ file }: Version, words: string) {
  return start(file, patientOf(words), {}, { ...anyhow(file), rehearsal: true });
}

/** The steps of a run as an edge of either automaton would do them, without times in their words. */
function sightsOf(change: Change): Sight[][] {
  return change.evidence.flatMap((one) =>
    one.kind === "run" && one.side === "gained"
      ? [
          one.run.lines.flatMap(({ kind, what, seconds }) =>
            sightOf(kind, kind === "end" ? what.replace(/ ends$/, "") : what, seconds),
          ),
        ]
      : [],
  );
}

function sightOf(kind: string, says: string, at: number): Sight[] {
  const seen = seenOf(kind, says);
  return seen === undefined ? [] : [{ seen, at }];
}

const SEEN = new Set(["start", "event", "answer", "finish"]);

/** An injection's end is seen as well: the minimum counts from it. */
function seenOf(kind: string, says: string): string | undefined {
  if (kind === "end" && says.startsWith("inject")) return `${kind} ${says}`;
  if (!SEEN.has(kind) || /^(wait for|end stage)/.test(says)) return undefined;
  return `${kind} ${says.replace(/^(wait|watch|recovery) .*/, "$1")}`;
}

function followed({ file }: Version, sights: readonly Sight[]): number {
  if (file.runs.kind !== "explored") throw new Error("no runs");
  const { automaton } = file.runs;
  const seenAs = ({ edge }: Move) => {
    const { kind = "", says = "" } = automaton.edges[edge] ?? {};
    return seenOf(kind, says);
  };
  return follow(machineOf(automaton), seenAs, sights)?.count ?? -1;
}

test.each(LOOSER)(
  "$says: whoever or whatever it lets in, the runtime of the earlier version does not",
  ({ from, to }) => {
    const now = versionOf(exampleText(WRIST).replace(from, to));
    const looser = edited(from, to).changes.filter(({ kind }) => kind === "looser");
    expect(looser.length).toBeGreaterThan(0);
    for (const change of looser) {
      for (const sights of sightsOf(change)) {
        expect(followed(now, sights)).toBe(sights.length);
        expect(followed(BEFORE, sights)).toBeLessThan(sights.length);
      }
      for (const one of change.evidence) {
        if (one.kind !== "patients" || one.side !== "looser" || !one.example) continue;
        const { patient, before, now: later } = one.example;
        const [old, recent] = [started(BEFORE, patient), started(now, patient)];
        if (one.direction === "covered now") {
          expect([old.kind, recent.kind]).toEqual(["refused", "started"]);
        } else if (change.part === "dose") {
          const given = (at: typeof old) =>
            at.kind === "started" ? at.case.dose("local")?.amount?.mass?.value : undefined;
          expect([`${given(old)} mg`, `${given(recent)} mg`]).toEqual([before, later]);
        }
      }
    }
  },
);

/** Takes a run through a runtime as it is told, up to its last moment; what happens by itself is not said. */
function takenThrough(version: Version, lines: RunEvidence["lines"]): Case {
  const started = start(version.file, patientOf(""), {}, { ...anyhow(version.file), rehearsal: true });
  if (started.kind === "refused") throw new Error(started.reasons[0]?.words);
  return lines.reduce((at: Case, { kind, what, step, seconds }): Case => {
    if (kind !== "start" && kind !== "end" && kind !== "event") return at;
    if (step && ["wait-for", "stage", "repeat", "end-stage"].includes(step.kind)) return at;
    const event = kind === "event" ? eventFrom(`event ${what}`) : step && { kind, step };
    if (!event) throw new Error(`${what} has no step`);
    const offered = at.offer(event, seconds);
    // Where nobody has to say that a step ends, it has ended as the next one began.
    if (offered.kind === "accepted") return offered.case;
    if (kind === "end") return at;
    throw new Error(`${what} at ${seconds}: ${offered.words}`);
  }, started.case);
}

const TIMERS: readonly (readonly [says: string, from: string, to: string, bounds: readonly string[]])[] = [
  ["a shorter minimum", "at least 30 min", "at least 20 min", ["at-least"]],
  ["no minimum", "    at least 30 min\n", "", ["at-least"]],
  ["a longer maximum", "at most  50 min", "at most  55 min", ["at-most"]],
  ["no maximum", "    at most  50 min\n", "", ["at-most"]],
];

test.each(TIMERS)(
  "a timer with %s: at the moment that is shown only the earlier runtime tells of its claim",
  (_, from, to, bounds) => {
    expect(exampleText(WRIST)).toContain(from);
    const now = versionOf(exampleText(WRIST).replace(from, to));
    const shown = changesOf(now).flatMap(({ part, evidence }) =>
      part === "timer" ? evidence.flatMap((one) => (one.kind === "value" && one.run ? [one.run] : [])) : [],
    );
    expect(shown.length).toBe(bounds.length);
    for (const [at, { lines }] of shown.entries()) {
      const seconds = lines.at(-1)?.seconds ?? 0;
      expect(lines.at(-1)?.kind).toBe("stays");
      const told = ([BEFORE, now] as const).map((version) => {
        const { timers, alarms } = takenThrough(version, lines).due(seconds);
        const hold = timers.find(({ name }) => name === "hold");
        const bound = hold?.bounds.find((one) => one.rule === "timer-claim-broken" && one.is === bounds[at]);
        const isReached = bound?.reachedAt !== undefined && bound.reachedAt < seconds;
        const isWaitedFor = bound?.reachedAt !== undefined && bound.reachedAt > seconds;
        return {
          isAgainst: bounds[at] === "at-most" ? isReached : isWaitedFor,
          alarms: alarms.flatMap(({ rule, about }) => (rule === "timer-claim-broken" ? [about] : [])),
        };
      });
      const alarms = bounds[at] === "at-most" ? ["hold at most"] : [];
      expect(told).toEqual([
        { isAgainst: true, alarms },
        { isAgainst: false, alarms: [] },
      ]);
    }
  },
);

test("a timer that is gone shows both of its claims, in a run of the earlier version", () => {
  const timer = /\n {2}timer hold[^}]*\}\n/.exec(exampleText(WRIST))?.[0] ?? "";
  const spare = "\n  timer spare from first inflation {\n    at least 10 min\n    at most  90 min\n  }\n";
  const before = versionOf(exampleText(WRIST).replace(timer, `${timer}${spare}`));
  const [gone] = changesOf(BEFORE, before).filter(({ part }) => part === "timer");
  expect(gone?.what).toBe("The timer `spare` is no longer there; nothing asks for its times.");
  expect(gone?.evidence.map((one) => one.kind === "value" && one.says)).toEqual([
    "The last cuff coming down with `spare` at 9:59 breaks no claim of `spare` now; before, it did.",
    "The last cuff still up with `spare` at 1:30:01 breaks no claim of `spare` now; before, it did.",
  ]);
  const runs = (gone?.evidence ?? []).flatMap((one) => (one.kind === "value" && one.run ? [one.run] : []));
  const [, late] = runs;
  const at = late?.lines.at(-1)?.seconds ?? 0;
  const alarms = [before, BEFORE].map((version) =>
    takenThrough(version, late?.lines ?? [])
      .due(at)
      .alarms.map(({ about }) => about),
  );
  expect(alarms[0]).toContain("spare at most");
  expect(alarms[1]).not.toContain("spare at most");
});

const READINESS: readonly (readonly [says: string, from: string, to: string])[] = [
  ["one monitor less", "ecg, spo2, nibp", "spo2, nibp"],
  ["rarer readings", "every 5 min\n    at-hand", "every 10 min\n    at-hand"],
  ["fewer people", "staff       2", "staff       1"],
  ["no venous access", "    iv-access   other-limb\n", ""],
  ["nothing at hand", "    at-hand     lipid-emulsion\n", ""],
  ["no marked site", "    site-marked\n", ""],
];

test.each(READINESS)(
  "readiness, %s: the checklist alone asks for it, as is said, and no runtime knows of it",
  (_, from, to) => {
    expect(exampleText(WRIST)).toContain(from);
    const now = versionOf(exampleText(WRIST).replace(from, to));
    const looser = changesOf(now).filter(({ kind, part }) => kind === "looser" && part === "readiness");
    expect(looser.length).toBeGreaterThan(0);
    for (const one of looser.flatMap(({ evidence }) => evidence)) {
      expect(one.kind === "value" && one.says).toMatch(
        /It is the checklist that asks for it; no run does\.$/,
      );
    }
    expect(now.file.protocol.preparation).not.toEqual(BEFORE.file.protocol.preparation);
    const [old, recent] = [BEFORE, now].map((version) => {
      const begun = started(version, "");
      return begun.kind === "started" ? begun.case.due(0) : begun;
    });
    expect(recent).toEqual(old);
  },
);
