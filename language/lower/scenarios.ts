import { MASS, PRESSURE, VOLUME } from "@limbwright/shared/quantity";
import type * as ast from "../grammar/generated/ast.ts";
import {
  type Scenario,
  type ScenarioExpectation,
  type ScenarioHappening,
  type ScenarioLine,
  VARIABLE_DIMENSIONS,
  type WrittenQuantity,
} from "../model/index.ts";
import type { Variable } from "../population/expression.ts";
import type { Lowering } from "./context.ts";
import { declarationsIn, namesOf } from "./names.ts";
import { quantityOf, timeOf } from "./quantities.ts";
import { actionOf } from "./requirements.ts";
import { eventOf, type StepSetting } from "./steps.ts";
import { momentOf } from "./timers.ts";

/** What a line of a scenario may speak of. */
type ScenarioSetting = Pick<StepSetting, "lowering" | "names" | "declaredEvents">;

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
  const origin = lowering.originOfHeading(node);
  const protocol = lowering.resolve(node, "protocol", "protocol", () => protocols);
  if (!protocol) return { title, protocol: node.protocol?.$refText ?? "", origin, lines: [] };
  const setting = { lowering, names: namesOf(declarationsIn(protocol), []), declaredEvents };
  return {
    title,
    protocol: protocol.name,
    origin,
    lines: node.lines.flatMap((line) => {
      const lowered = line.$type === "Unknown" ? undefined : lineOf(setting, line);
      return lowered ? [lowered] : [];
    }),
  };
}

function lineOf(setting: ScenarioSetting, node: ast.ScenarioLine): ScenarioLine | undefined {
  const { lowering, names } = setting;
  const origin = lowering.originOf(node);
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
      const happening = node.happening && happeningOf(setting, node.happening);
      if (happening) return { ...base, kind: "happens", happening };
      const expectation = node.expectation && expectationOf(setting, node.expectation);
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

function happeningOf(setting: ScenarioSetting, node: ast.Happening): ScenarioHappening | undefined {
  switch (node.$type) {
    case "TaskEnds":
      return { kind: "task-ends", text: node.text ?? "" };
    case "Answer":
      return { kind: "answer", question: node.question ?? "", yes: node.answer === "yes" };
    case "EventHappens": {
      const { lowering, names } = setting;
      const event = eventOf(setting, node, "Use an event that the protocol knows.");
      const cuff = lowering.resolve(node, "cuff", "cuff", () => names.cuffs);
      return event === undefined ? undefined : { kind: "event", event, ...(cuff && { cuff: cuff.name }) };
    }
  }
}

function expectationOf(
  { lowering, names }: ScenarioSetting,
  node: ast.Expectation,
): ScenarioExpectation | undefined {
  switch (node.$type) {
    case "ExpectDose": {
      const dose = lowering.resolve(node, "dose", "dose", () => names.doses);
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
