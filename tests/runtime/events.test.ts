import { createRequire } from "node:module";
import { type Edge, eventOf, isOf, wordsOfEvent } from "@limbwright/shared/runtime";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, test } from "vitest";
import { PATIENT, wristFile } from "./started-case.ts";

const schema = createRequire(import.meta.url)("@limbwright/shared/rule-file.schema.json") as { $id: string };
const ajv = new Ajv2020({ strict: true });
ajv.addSchema(schema);
const isEvent = ajv.compile({ $ref: `${schema.$id}#/$defs/RunEvent` });
const isPatient = ajv.compile({ $ref: `${schema.$id}#/$defs/Patient` });

const file = wristFile(
  ["    confirm distal\n", "    confirm distal else { inflate distal }\n"],
  ["    wait 5 min\n", '    ask "Is it: complete?" { yes { wait 5 min } no { wait 10 min } }\n'],
);
const edges: readonly Edge[] = file.runs.kind === "explored" ? file.runs.automaton.edges : [];
const events = edges.flatMap((edge) => {
  const event = eventOf(edge);
  return event ? [{ edge, event }] : [];
});

describe("every edge that somebody causes has its event, and every event its edge", () => {
  test.each(events.map(({ edge, event }) => [`${edge.kind} ${edge.says}`, edge, event] as const))(
    "%s",
    (_, edge, event) => {
      expect(isOf(edge, event)).toBe(true);
      expect(wordsOfEvent(event)).toBe(edge.says);
      // No other event of the protocol is taken for it.
      const alike = edges.filter((other) => isOf(other, event));
      expect(new Set(alike.map(({ kind, says }) => `${kind} ${says}`))).toEqual(
        new Set([`${edge.kind} ${edge.says}`]),
      );
      expect(isEvent(event)).toBe(true);
    },
  );

  test("of every kind", () => {
    expect([...new Set(events.map(({ event }) => event.kind))].sort()).toEqual([
      "answer",
      "end",
      "event",
      "leak",
      "start",
    ]);
  });

  test("but what happens by itself has none", () => {
    const others = edges.filter((edge) => !eventOf(edge));
    expect(new Set(others.map(({ kind, due }) => (due ? "due" : kind)))).toEqual(
      new Set(["pass", "return", "finish", "due"]),
    );
  });
});

test("the schema refuses what is no event, and takes a patient", () => {
  const step = { kind: "inject", dose: "local" };
  expect(isEvent({ kind: "start", step })).toBe(true);
  expect(isEvent({ kind: "start", step, at: 5 })).toBe(false);
  expect(isEvent({ kind: "start", step: "inject local" })).toBe(false);
  expect(isEvent({ kind: "answer", step: { kind: "ask", question: "Is it?" }, answer: "maybe" })).toBe(false);
  expect(isPatient(PATIENT)).toBe(true);
  expect(isPatient({ weight: { value: "60", unit: "lb" } })).toBe(false);
});
