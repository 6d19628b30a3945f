import { type Change, type ComparedProtocol, compareSites, compileFile } from "@limbwright/language";
import { type RuleFile, readRuleFile } from "@limbwright/shared/rule-file";
import { type Move, machineOf, start } from "@limbwright/shared/runtime";
import { expect, test } from "vitest";
import { follow, type Sight } from "../../../language/runs/inclusion/follow.ts";
import { EDITS } from "./edits.ts";
import { exampleText, ON, siteOf, WRIST } from "./two-versions.ts";

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
  const [compiled] = compileFile(siteOf({ [WRIST]: text }), WRIST, { on: ON, draft: true }) ?? [];
  if (compiled?.kind !== "written") throw new Error(`not compiled: ${compiled?.because}`);
  const read = readRuleFile(compiled.text);
  if (read.kind !== "read") throw new Error("the rule file is not read");
  return { text, file: read.file };
}

function changesOf(now: Version): readonly Change[] {
  const side = ({ text }: Version, name: string) => ({
    site: siteOf({ [WRIST]: text }),
    files: [WRIST],
    name,
  });
  const [first] = [
    ...compareSites(side(BEFORE, "before"), side(now, "now"), { on: ON }),
  ] as ComparedProtocol[];
  return first?.comparison.changes ?? [];
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
  return start(file, patientOf(words), {}, { rehearsal: true });
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
    const looser = changesOf(now).filter(({ kind }) => kind === "looser");
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
