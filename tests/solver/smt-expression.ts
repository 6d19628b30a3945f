import { type Interval, isEmpty } from "@limbwright/shared/quantity";
import {
  type Box,
  type Expression,
  type Relation,
  VARIABLES,
  type Variable,
} from "../../language/population/index.ts";
import { smtAnd, smtNumber, smtOr } from "./smt.ts";

/** An expression as the solver sees it: its value, and whether a patient has one. */
export interface Encoded {
  readonly value: string;
  readonly defined: string;
}

/** Collects definitions, so that shared parts are written once. */
export class Encoding {
  readonly #lines: string[] = VARIABLES.map((variable) => `(declare-const ${variable} Real)`);
  #count = 0;

  get text(): string {
    return this.#lines.join("\n");
  }

  expression(expression: Expression): Encoded {
    switch (expression.kind) {
      case "constant":
        return { value: smtNumber(expression.value), defined: "true" };
      case "variable":
        return { value: expression.variable, defined: "true" };
      case "sum":
        return this.both(expression, (left, right) => `(+ ${left} ${right})`);
      case "difference":
        return this.both(expression, (left, right) => `(- ${left} ${right})`);
      case "lesser":
        return this.both(expression, (left, right) => `(ite (<= ${left} ${right}) ${left} ${right})`);
      case "greater":
        return this.both(expression, (left, right) => `(ite (>= ${left} ${right}) ${left} ${right})`);
      case "scaled": {
        const of = this.expression(expression.of);
        return { value: `(* ${smtNumber(expression.factor)} ${of.value})`, defined: of.defined };
      }
      case "rounded-down": {
        const of = this.expression(expression.of);
        const levels = `(to_real (to_int (* ${smtNumber(expression.step.inverse())} ${of.value})))`;
        return {
          value: this.define("Real", `(* ${smtNumber(expression.step)} ${levels})`),
          defined: of.defined,
        };
      }
      case "bands": {
        let value = "0.0";
        let defined = "false";
        for (const row of expression.rows.toReversed()) {
          const inside = smtInside(expression.variable, row.range);
          const of = this.expression(row.value);
          value = `(ite ${inside} ${of.value} ${value})`;
          defined = `(ite ${inside} ${of.defined} ${defined})`;
        }
        return { value: this.define("Real", value), defined: this.define("Bool", defined) };
      }
    }
  }

  define(sort: "Real" | "Bool", body: string): string {
    const name = `e${this.#count}`;
    this.#count += 1;
    this.#lines.push(`(define-fun ${name} () ${sort} ${body})`);
    return name;
  }

  private both(
    parts: { readonly left: Expression; readonly right: Expression },
    join: (left: string, right: string) => string,
  ): Encoded {
    const left = this.expression(parts.left);
    const right = this.expression(parts.right);
    return {
      value: this.define("Real", join(left.value, right.value)),
      defined: smtAnd([left.defined, right.defined]),
    };
  }
}

function smtInside(variable: Variable, range: Interval): string {
  if (isEmpty(range)) return "false";
  const { lower, upper } = range;
  return smtAnd([
    ...(lower ? [`(${lower.closed ? ">=" : ">"} ${variable} ${smtNumber(lower.value)})`] : []),
    ...(upper ? [`(${upper.closed ? "<=" : "<"} ${variable} ${smtNumber(upper.value)})`] : []),
  ]);
}

export function smtBox(box: Box): string {
  return smtAnd(VARIABLES.flatMap((variable) => (box[variable] ? [smtInside(variable, box[variable])] : [])));
}

export function smtBoxes(boxes: readonly Box[]): string {
  return smtOr(boxes.map(smtBox));
}

export function smtRelation(relation: Relation, left: string, right: string): string {
  const signs = { "at-most": "<=", under: "<", "at-least": ">=", over: ">", equal: "=" } as const;
  return `(${signs[relation]} ${left} ${right})`;
}

/** By how much a violation goes over, as the comparison counts it. */
export function smtExcess(relation: Relation, left: string, right: string): string {
  if (relation === "at-least" || relation === "over") return `(- ${right} ${left})`;
  if (relation === "equal") return `(ite (>= ${left} ${right}) (- ${left} ${right}) (- ${right} ${left}))`;
  return `(- ${left} ${right})`;
}
