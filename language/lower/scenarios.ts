import { MASS, PRESSURE, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import {
  KNOWN_EVENTS,
  type Scenario,
  type ScenarioExpectation,
  type ScenarioHappening,
  type ScenarioLine,
  VARIABLE_DIMENSIONS,
  type WrittenQuantity,
} from "../model/index.ts";
import { canonicalName } from "../model/spelling.ts";
import type { Variable } from "../population/expression.ts";
import { checkWord, type Lowering, originOf, originOfHeading, originOfProperty, resolve } from "./context.ts";
import { momentOf } from "./moments.ts";
import { declarationsIn, type Names, namesOf } from "./protocol-names.ts";
import { quantityOf, timeOf } from "./quantities.ts";
import { actionOf } from "./requirements.ts";

/**
 * Lowers a scenario against the protocol it is for; its names are those of that protocol. Where there is no such protocol, which is
 * reported, nothing is known of its lines.
 */
export function scenarioOf(
  lowering: Lowering,
  node: ast.Scenario,
  protocols: readonly string[],
  declaredEvents: readonly string[],
): Scenario {
  const title = node.title ?? "";
  const origin = originOfHeading(lowering, node);
  const protocol = resolve(lowering, node, "protocol", node.protocol, "protocol", () => protocols);
  if (!protocol) return { title, protocol: node.protocol?.$refText ?? "", origin, lines: [] };
  const names = namesOf(declarationsIn(protocol), []);
  return {
    title,
    protocol: protocol.name,
    origin,
    lines: node.lines.flatMap((line) => {
      const lowered = line.$type === "Unknown" ? undefined : lineOf(lowering, line, names, declaredEvents);
      return lowered ? [lowered] : [];
    }),
  };
}

function lineOf(
  lowering: Lowering,
  node: ast.ScenarioLine,
  names: Names,
  declaredEvents: readonly string[],
): ScenarioLine | undefined {
  const origin = originOf(lowering, node);
  switch (node.$type) {
    case "ScenarioPatient":
      return { kind: "patient", values: patientValues(lowering, node), origin };
    case "ScenarioRun": {
      const moment = momentOf(lowering, node.moment, names);
      return moment && { kind: "run-to", moment, origin };
    }
    case "ScenarioMoment": {
      const after = timeOf(lowering, node.after, "`after`");
      const base = { ...(after && { after }), origin };
      const happening = node.happening && happeningOf(lowering, node.happening, names, declaredEvents);
      if (happening) return { ...base, kind: "happens", happening };
      const expectation = node.expectation && expectationOf(lowering, node.expectation, names);
      return expectation && { ...base, kind: "expect", expectation };
    }
  }
}

function patientValues(
  lowering: Lowering,
  node: ast.ScenarioPatient,
): Partial<Record<Variable, WrittenQuantity>> {
  const values: Partial<Record<Variable, WrittenQuantity>> = {};
  for (const { variable, value } of node.values) {
    if (!variable) continue;
    const read = quantityOf(lowering, value, [VARIABLE_DIMENSIONS[variable]], `\`${variable}\``);
    if (read) values[variable] = read;
  }
  return values;
}

function happeningOf(
  lowering: Lowering,
  node: ast.Happening,
  names: Names,
  declaredEvents: readonly string[],
): ScenarioHappening | undefined {
  switch (node.$type) {
    case "TaskEnds":
      return { kind: "task-ends", text: node.text ?? "" };
    case "Answer":
      return { kind: "answer", question: node.question ?? "", yes: node.answer === "yes" };
    case "EventHappens": {
      const known: readonly string[] = [...KNOWN_EVENTS, ...declaredEvents];
      const origin = originOfProperty(lowering, node, "event");
      const event = checkWord(
        lowering,
        origin,
        canonicalName(node.event ?? ""),
        known,
        "an event",
        "Use an event that the protocol knows.",
      );
      const cuff = resolve(lowering, node, "cuff", node.cuff, "cuff", () => names.cuffs);
      return event === undefined ? undefined : { kind: "event", event, ...(cuff && { cuff: cuff.name }) };
    }
  }
}

function expectationOf(
  lowering: Lowering,
  node: ast.Expectation,
  names: Names,
): ScenarioExpectation | undefined {
  switch (node.$type) {
    case "ExpectDose": {
      const dose = resolve(lowering, node, "dose", node.dose, "dose", () => names.doses);
      const value = quantityOf(lowering, node.value, [MASS, VOLUME], "`is`");
      return dose && value && { kind: "dose", dose: dose.name, value };
    }
    case "ExpectPressure": {
      const value = quantityOf(lowering, node.value, [PRESSURE], "`is`");
      return value && { kind: "pressure", value };
    }
    case "ExpectAction": {
      const action = actionOf({ lowering, names }, node.action);
      const at = timeOf(lowering, node.due, "`due at`");
      if (!action) return undefined;
      if (node.allowed) return { kind: "allowed", action };
      if (node.rule !== undefined) return { kind: "refused", action, rule: node.rule };
      return at && { kind: "due", action, at };
    }
  }
}
