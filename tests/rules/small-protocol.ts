import { expect } from "vitest";
import { checkExample } from "./page-examples.ts";

/** The parts of a small protocol that a test is about. */
export interface SmallProtocol {
  /** Agents beside those of the base formulary, or instead of them. */
  readonly agents?: string;
  readonly withoutFormulary?: boolean;
  readonly doses: string;
  readonly steps: string;
  readonly more?: string;
  readonly age?: string;
  /** The rules of the errors it is expected to have; none if not said. */
  readonly errors?: readonly string[];
}

/** What a rule says of a small protocol with agents of its own. Its steps begin behind a confirmed cuff. */
export function small(rule: string, parts: SmallProtocol) {
  const text = `${parts.withoutFormulary ? "" : 'use "formulary.limb"'}
${parts.agents ?? ""}
protocol small "Small" {
  version 0.1.0
  status draft
  patients {
    age ${parts.age ?? "16 to 85 years"}
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs proximal, distal on upper-arm {
    pressure systolic + 100 mmHg
    ceiling 300 mmHg
  }
  ${parts.doses}
  steps {
    insert cannula
    exsanguinate by elevation 1 min
    inflate proximal
    confirm proximal
    ${parts.steps}
  }
  ${parts.more ?? ""}
}`;
  const { check } = checkExample(text, { about: [rule] });
  const errors = check.findings.filter(({ severity }) => severity === "error");
  expect(errors.map((error) => error.rule)).toEqual(parts.errors ?? []);
  const protocol = check.protocols.find(({ protocol: of }) => of.name === "small");
  const verdict = protocol?.verdicts.find((one) => one.rule === rule);
  return {
    findings: protocol?.findings.filter((finding) => finding.rule === rule) ?? [],
    verdict: verdict?.kind,
    limit: verdict?.kind === "not-decided" ? verdict.limit : "",
  };
}

/** A dose that is injected or given over 90 s. */
export const injected = (name: string, agent: string, amount: string, more = "") =>
  `dose ${name} of ${agent} {\n    amount ${amount}\n    over 90 s\n    ${more}\n  }`;
