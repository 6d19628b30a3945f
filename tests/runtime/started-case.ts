import type { RuleFile } from "@limbwright/shared/rule-file";
import {
  type Advanced,
  type Answers,
  againstFile,
  type Case,
  contraindicationsOf,
  type Offered,
  type Patient,
  type StartOptions,
  start,
} from "@limbwright/shared/runtime";
import { baseTexts, fileFrom, ON, textFrom } from "../language/rule-file/compiled.ts";
import { eventFrom } from "./event-from.ts";

/** The rule file of the base example, as a draft where it was changed; pairs of words replaced in its text. */
export function wristFile(...changes: readonly (readonly [from: string, to: string])[]): RuleFile {
  const protocol = changes.reduce((text, [from, to]) => {
    if (!text.includes(from)) throw new Error(`the example does not say ${from}`);
    return text.replace(from, to);
  }, baseTexts().get("protocol.limb") ?? "");
  const draft = changes.length > 0;
  return fileFrom(textFrom(baseTexts({ "protocol.limb": protocol }), "protocol.limb", { draft }));
}

/** 60 kg, 40 years, 130 mmHg, 30 cm. */
export const PATIENT: Patient = {
  weight: { value: "60", unit: "kg" },
  age: { value: "40", unit: "a" },
  systolic: { value: "130", unit: "mm[Hg]" },
  circumference: { value: "30", unit: "cm" },
};

/** The patient has nothing that is contraindicated. */
export function noneOf(file: RuleFile): Answers {
  return Object.fromEntries(contraindicationsOf(file).map((condition) => [condition, false]));
}

/** As on the day of the tests, in spite of all that stands against following the file. */
export function anyhow(file: RuleFile): StartOptions {
  const despite = againstFile(file, { on: ON }).flatMap((one) => (one.kind === "no-day" ? [] : [one.name]));
  return { on: ON, despite };
}

export function startedCase(file: RuleFile): Case {
  const started = start(file, PATIENT, noneOf(file), anyhow(file));
  if (started.kind === "refused") throw new Error(started.reasons.map(({ words }) => words).join("\n"));
  return started.case;
}

/** Minutes and seconds as on a clock: "12:30". */
export function at(clock: string): number {
  const [minutes = 0, seconds = 0] = clock.split(":").map(Number);
  return minutes * 60 + seconds;
}

/** The case after what was offered; fails where that was refused. */
export function accepted(offered: Offered): Case {
  if (offered.kind === "refused") throw new Error(offered.words);
  return offered.case;
}

/** The refusal of what was offered; fails where it was accepted. */
export function refused(offered: Offered): Extract<Offered, { kind: "refused" }> {
  if (offered.kind === "accepted") throw new Error("it was accepted");
  return offered;
}

/** A case taken through lines such as "12:30 end inject local". */
export function through(from: Case, ...lines: readonly string[]): Case {
  return lines.reduce((now, line) => {
    const [clock = "", ...words] = line.split(" ");
    return accepted(now.offer(eventFrom(words.join(" ")), at(clock)));
  }, from);
}

/** What happened, one line each: "5:00 inject local (end)". */
export function told({ happenings }: Pick<Advanced, "happenings">): string[] {
  return happenings.map(({ at: time, says, kind }) => {
    const two = (value: number) => String(value).padStart(2, "0");
    return `${Math.floor(time / 60)}:${two(time % 60)} ${says} (${kind})`;
  });
}
