import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { describe, expect, it } from "vitest";

/**
 * A `default` over kinds would take a new kind of step, amount or event for one of the old ones, and nothing would complain. So a
 * switch over words that a type lists names each of them, and a table of them has a line for each.
 */

const ROOT = fileURLToPath(new URL("../..", import.meta.url));
const ROOMS = ["shared", "language", "server", "extension"];

describe("a switch over kinds", () => {
  it("names every kind, and has no default, anywhere", { timeout: 300_000 }, () => {
    expect(faultsIn(programOf(sources()))).toEqual([]);
  });

  it("is refused with a default, without one of the kinds, and as a table with holes", () => {
    const kinds = 'type Kind = "inflate" | "deflate" | "elevate";\ndeclare const step: { kind: Kind };\n';
    const faults = (code: string) => faultsIn(programOf(["planted.ts"], `${kinds}${code}`));
    expect(faults('switch (step.kind) { case "inflate": case "deflate": break; default: }')).toEqual([
      "planted.ts:3 has a default",
    ]);
    expect(faults('switch (step.kind) { case "inflate": case "deflate": }')).toEqual([
      "planted.ts:3 leaves out elevate",
    ]);
    expect(faults("const partial: Partial<Record<Kind, number>> = {};")).toEqual([
      "planted.ts:3 has a table of kinds with holes",
    ]);
    expect(faults("const mapped: { [K in Kind]?: number } = {};")).toEqual([
      "planted.ts:3 has a table of kinds with holes",
    ]);
    expect(faults('switch (step.kind) { case "inflate": case "deflate": case "elevate": }')).toEqual([]);
  });

  it("may have a default where its words are no list: keys, tokens, what others write", () => {
    const code = 'declare const key: string;\nswitch (key) { case "Home": break; default: }';
    expect(faultsIn(programOf(["planted.ts"], code))).toEqual([]);
  });
});

function sources(): string[] {
  return ROOMS.flatMap((room) =>
    readdirSync(join(ROOT, room), { recursive: true, encoding: "utf8" })
      .filter((file) => file.endsWith(".ts") && !/(^|\/)(node_modules|dist)\//.test(file))
      .map((file) => join(ROOT, room, file)),
  );
}

/** A program of some files; of one that is not there where its code is given. */
function programOf(files: readonly string[], code?: string): ts.Program {
  const config = ts.readConfigFile(join(ROOT, "tsconfig.json"), (file) => readFileSync(file, "utf8")).config;
  const { options } = ts.convertCompilerOptionsFromJson(config.compilerOptions, ROOT);
  const all = { ...options, types: [], noLib: code !== undefined, lib: code === undefined ? DOM : [] };
  const host = ts.createCompilerHost(all);
  const { getSourceFile } = host;
  if (code !== undefined) {
    host.getSourceFile = (name, target) => ts.createSourceFile(name, code, target, true);
  } else {
    host.getSourceFile = (name, target) => getSourceFile(name, target);
  }
  return ts.createProgram(files, all, host);
}

const DOM = ["lib.es2023.d.ts", "lib.dom.d.ts"];

function faultsIn(program: ts.Program): string[] {
  const checker = program.getTypeChecker();
  const own = program.getSourceFiles().filter(({ fileName }) => isOwn(fileName));
  return own.flatMap((file) => {
    const faults: string[] = [];
    const look = (node: ts.Node): void => {
      const fault = ts.isSwitchStatement(node) ? faultOfSwitch(node, checker) : faultOfTable(node, checker);
      if (fault) {
        const { line } = file.getLineAndCharacterOfPosition(node.getStart(file));
        faults.push(`${file.fileName.replace(ROOT, "")}:${line + 1} ${fault}`);
      }
      ts.forEachChild(node, look);
    };
    look(file);
    return faults;
  });
}

function isOwn(file: string): boolean {
  return !/(^|\/)(node_modules|generated)\//.test(file) && !file.includes("/typescript/lib/");
}

function faultOfSwitch({ expression, caseBlock }: ts.SwitchStatement, checker: ts.TypeChecker) {
  const words = wordsOf(checker.getTypeAtLocation(expression));
  if (words.length < 2) return undefined;
  const { clauses } = caseBlock;
  if (clauses.some(ts.isDefaultClause)) return "has a default";
  const named = clauses.flatMap((clause) =>
    ts.isCaseClause(clause) && ts.isStringLiteral(clause.expression) ? [clause.expression.text] : [],
  );
  const missing = words.filter((word) => !named.includes(word));
  return missing.length > 0 ? `leaves out ${missing.join(", ")}` : undefined;
}

/** `Partial<Record<Kind, …>>` and `{ [K in Kind]?: … }`. */
function faultOfTable(node: ts.Node, checker: ts.TypeChecker) {
  const keys = keysOfPartial(node);
  const words = keys ? wordsOf(checker.getTypeFromTypeNode(keys)) : [];
  const isOfKinds = keys !== undefined && words.length > 1 && /kind/i.test(keys.getText());
  return isOfKinds ? "has a table of kinds with holes" : undefined;
}

function keysOfPartial(node: ts.Node): ts.TypeNode | undefined {
  if (ts.isMappedTypeNode(node)) return node.questionToken && node.typeParameter.constraint;
  if (!ts.isTypeReferenceNode(node) || node.typeName.getText() !== "Partial") return undefined;
  const [record] = node.typeArguments ?? [];
  const isRecord = record && ts.isTypeReferenceNode(record) && record.typeName.getText() === "Record";
  return isRecord ? record.typeArguments?.[0] : undefined;
}

/** The words of a type that is a list of words; none of any other. Whether it may be missing does not matter. */
function wordsOf(type: ts.Type): string[] {
  const parts = (type.isUnion() ? type.types : [type]).filter(
    ({ flags }) => !(flags & ts.TypeFlags.Undefined),
  );
  return parts.every((part) => part.isStringLiteral())
    ? parts.map((part) => (part as ts.StringLiteralType).value)
    : [];
}
