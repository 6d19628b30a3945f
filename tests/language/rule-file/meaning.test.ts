import { Site } from "@limbwright/language";
import { meaningOf as digestOfMeaning, readRuleFile } from "@limbwright/shared/rule-file";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { Marks } from "../../../language/rule-file/marks.ts";
import { isWhole, protocolPart } from "../../../language/rule-file/protocol.ts";
import { baseTexts, compiledFrom } from "./compiled.ts";

const SEED = 20261126;
const protocol = baseTexts().get("protocol.limb") ?? "";
const formulary = baseTexts().get("formulary.limb") ?? "";

function digestsOf(changes: Readonly<Record<string, string>>): { meaning: string; proof: string } {
  const compiled = compiledFrom(baseTexts(changes), "protocol.limb", { draft: true });
  if (compiled.kind === "refused") throw new Error(compiled.because);
  return { meaning: compiled.meaning, proof: compiled.proof };
}

/** The meaning alone, without judging anything; undefined where a part is missing. */
function meaningOf(changes: Readonly<Record<string, string>>): string | undefined {
  const texts = baseTexts(changes);
  const [only] = new Site((file) => texts.get(file)).file("protocol.limb")?.protocols ?? [];
  return only && isWhole(only) ? digestOfMeaning(protocolPart(new Marks(), only)) : undefined;
}

const { meaning, proof } = digestsOf({});

/** The statements at the outermost level of a block's body: lines, and blocks with their braces. */
function statementsOf(body: string): string[] {
  const statements: string[] = [];
  const lines: string[] = [];
  let depth = 0;
  for (const line of body.split("\n")) {
    if (line.trim() === "" && depth === 0) continue;
    lines.push(line);
    const code = line.replace(/"[^"]*"/g, "");
    depth += code.split("{").length - code.split("}").length;
    if (depth === 0) statements.push(lines.splice(0).join("\n"));
  }
  return statements;
}

/** The text with the body of a block put in another order. */
function reordered(text: string, opening: string, order: (statements: string[]) => string[]): string {
  const start = text.indexOf(opening) + opening.length;
  let depth = 1;
  let end = start;
  for (; depth > 0; end += 1) depth += text[end] === "{" ? 1 : text[end] === "}" ? -1 : 0;
  const body = text.slice(start, end - 1);
  return `${text.slice(0, start)}\n${order(statementsOf(body)).join("\n")}\n${text.slice(end - 1)}`;
}

const PROTOCOL = 'protocol wrist-reduction "Wrist fracture reduction under IVRA" {';

test("the meaning of a rule file is that of its protocol, whatever was proven", () => {
  expect(meaningOf({})).toBe(meaning);
});

describe("the meaning stays the same", () => {
  test("with comments, empty lines and other spaces", () => {
    const spaced = protocol
      .split("\n")
      .map((line) => `${line.replace(/^ +/, "      ").replace(/(\S) {2,}(\S)/g, "$1 $2")}   // a comment\n`)
      .join("\n");
    expect(spaced).not.toBe(protocol);
    expect(meaningOf({ "protocol.limb": spaced })).toBe(meaning);
  });

  test(`and so does the proof, with its automaton, with declarations in any order (seed ${SEED})`, () => {
    const blocks: [string, string][] = [
      ["protocol.limb", PROTOCOL],
      ["protocol.limb", "patients {"],
      ["protocol.limb", 'cuffs proximal "grey", distal "white" on upper-arm {'],
      ["protocol.limb", "prepare {"],
      ["protocol.limb", "throughout {"],
      ["formulary.limb", "agent lidocaine {"],
    ];
    fc.assert(
      fc.property(fc.constantFrom(...blocks), fc.infiniteStream(fc.nat()), ([file, opening], numbers) => {
        const shuffle = (list: string[]) =>
          list
            .map((one) => ({ one, key: numbers.next().value ?? 0 }))
            .sort((a, b) => a.key - b.key)
            .map(({ one }) => one);
        const text = file === "protocol.limb" ? protocol : formulary;
        expect(digestsOf({ [file]: reordered(text, opening, shuffle) })).toEqual({ meaning, proof });
      }),
      { seed: SEED, numRuns: 8 },
    );
  });

  test("and the proof with handlers, timers and requirements from the last to the first", () => {
    const sections = [
      "timer early from end of local { at least 5 min }",
      "timer late from first inflation { at most 75 min }",
      'require "Feel the cuff at once" { confirm distal within 2 min of inflate distal }',
      'require "Bandage before the drug" { inject local only after remove bandage }',
      'require "Bandage before the drug, said twice" { inject local only after remove bandage }',
    ];
    const handlers = [
      "when patient-distress not before 2 min up to 2 times { watch 1 min }",
      "when patient-distress not before 9 min once { watch 1 min }",
      'when systolic-rises once { task "Tell the anaesthetist" takes 1 min to 2 min }',
    ];
    const written = (order: (list: readonly string[]) => readonly string[]) =>
      digestsOf({
        "protocol.limb": protocol
          .replace("  prepare {", `${order(sections).join("\n")}\n  prepare {`)
          .replace("      when tourniquet-pain", `${order(handlers).join("\n")}\n      when tourniquet-pain`),
      });
    const forward = written((list) => list);
    expect(forward.proof).not.toBe(proof);
    expect(written((list) => list.toReversed())).toEqual(forward);
  });

  test("with the agents of the formulary in another order", () => {
    const turned = statementsOf(formulary).reverse().join("\n");
    expect(turned).not.toBe(formulary);
    expect(meaningOf({ "formulary.limb": turned })).toBe(meaning);
  });

  test("with another status or date of review: approving does not change what is approved", () => {
    const approved = protocol
      .replace("status    draft", 'status approved by "Anaesthesia lead" on 2026-11-01')
      .replace("2027-06-30", "2028-01-01");
    expect(approved).not.toBe(protocol);
    expect(meaningOf({ "protocol.limb": approved })).toBe(meaning);
  });

  test("with half written as 50 %", () => {
    const half = protocol.replace("3 mg/kg up to 200 mg", "3 mg/kg up to half of 400 mg");
    const percent = protocol.replace("3 mg/kg up to 200 mg", "3 mg/kg up to 50 % of 400 mg");
    expect(meaningOf({ "protocol.limb": half })).toBe(meaningOf({ "protocol.limb": percent }));
  });
});

describe("the meaning changes", () => {
  const numbersIn = (text: string, upTo = text.length) =>
    [...text.slice(0, upTo).matchAll(/(?<![\w.-])\d+(\.\d+)*/g)].map((match) => match.index);

  const raised = (text: string, at: number) =>
    text.slice(0, at) + text.slice(at).replace(/\d+/, (digits) => String(Number(digits) + 1));

  const isDate = (text: string, at: number) => /^\d{4}-\d{2}-\d{2}/.test(text.slice(at));

  test("with any number of the protocol", () => {
    const places = numbersIn(protocol).filter((at) => !isDate(protocol, at));
    const same = places.filter((at) => meaningOf({ "protocol.limb": raised(protocol, at) }) === meaning);
    expect(places.length).toBeGreaterThan(35);
    expect(same.map((at) => protocol.slice(at - 20, at + 10))).toEqual([]);
  });

  test("with any number of an agent that it uses", () => {
    const places = numbersIn(formulary, formulary.indexOf("agent bupivacaine"));
    const same = places.filter((at) => meaningOf({ "formulary.limb": raised(formulary, at) }) === meaning);
    expect(places.length).toBeGreaterThan(6);
    expect(same.map((at) => formulary.slice(at - 20, at + 10))).toEqual([]);
  });

  test("with the words of a contraindication, a task or a note", () => {
    for (const [from, to] of [
      ["Sickle cell disease or trait", "Sickle cell disease"],
      ["Stop. Call for help.", "Call for help."],
      ["fingers to cuff", "fingers to elbow"],
    ] as const) {
      expect(meaningOf({ "protocol.limb": protocol.replace(from, to) })).not.toBe(meaning);
    }
  });

  test("with the order of two steps", () => {
    const swapped = protocol.replace(
      "    remove bandage\n    confirm no pulse",
      "    confirm no pulse\n    remove bandage",
    );
    expect(swapped).not.toBe(protocol);
    expect(meaningOf({ "protocol.limb": swapped })).not.toBe(meaning);
  });
});

test("the proof changes with what the hospital sets, the meaning does not", () => {
  const localRules = `${baseTexts().get("local-rules.limb")}`.replace("action-time 75 s", "action-time 76 s");
  const [before, after] = [baseTexts(), baseTexts({ "local-rules.limb": localRules })].map((texts) =>
    compiledFrom(texts),
  );
  if (before?.kind !== "written" || after?.kind !== "written") throw new Error("not compiled");
  expect(after.meaning).toBe(before.meaning);
  expect(after.proof).not.toBe(before.proof);
  expect(readRuleFile(after.text).kind).toBe("read");
});
