import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import ts from "typescript";
import { afterAll, beforeAll, expect, test } from "vitest";

const ROOT = join(import.meta.dirname, "../..");
const PACKED = ["shared", "language"];
let site = "";
const packed = new Map<string, string[]>();

/** A folder of another program, in which the packages are installed as they would be from a registry. */
beforeAll(() => {
  site = mkdtempSync(join(tmpdir(), "limb-packages-"));
  writeFileSync(join(site, "package.json"), `{ "type": "module" }`);
  for (const workspace of PACKED) {
    install(workspace);
  }
});

afterAll(() => {
  rmSync(site, { recursive: true });
});

test("another program checks a text with the packed packages in plain Node", () => {
  writeFileSync(join(site, "program.js"), PROGRAM.replace(/: [A-Za-z]+(?= =)/g, ""));
  const output = execFileSync(process.execPath, [join(site, "program.js")], { encoding: "utf8" });
  expect(JSON.parse(output)).toEqual({ rules: expect.arrayContaining(["unit-missing"]), amount: "1.5 mg" });
});

test.each([
  ["nodenext", ts.ModuleKind.NodeNext, ts.ModuleResolutionKind.NodeNext],
  ["bundler", ts.ModuleKind.ESNext, ts.ModuleResolutionKind.Bundler],
])(
  "the packed packages carry their types, for a program that resolves by %s",
  (_, module, moduleResolution) => {
    const file = join(site, "program.ts");
    writeFileSync(file, `${PROGRAM}\nconst wrong: number = amount;\nconsole.log(wrong);\n`);
    const program = ts.createProgram([file], {
      lib: ["lib.es2023.d.ts"],
      module,
      moduleResolution,
      noEmit: true,
      skipLibCheck: true,
      strict: true,
      target: ts.ScriptTarget.ES2022,
      types: ["node"],
      typeRoots: [join(ROOT, "node_modules/@types")],
    });
    const problems = ts.getPreEmitDiagnostics(program).map(({ messageText }) => messageText);
    expect(problems).toEqual(["Type 'string' is not assignable to type 'number'."]);
  },
);

test("the packed packages ship what is built and the schema of the rule file, and no source", () => {
  for (const workspace of PACKED) {
    const others = (packed.get(workspace) ?? []).filter(
      (file) => !/^dist\/.*\.(js|js\.map|d\.ts)$/.test(file),
    );
    expect(others.sort()).toEqual(
      workspace === "shared"
        ? ["package.json", "rule-file/generated/rule-file.schema.json"]
        : ["package.json"],
    );
  }
});

const PROGRAM = `
import { checkFiles, Site } from "@limbwright/language";
import { quantity, quantityText, rational } from "@limbwright/shared/quantity";

const text: string = "agent lidocaine {\\n  kind local-anaesthetic\\n  maximum 4\\n}\\n";
const site = new Site((name) => (name === "formulary.limb" ? text : undefined));
const rules = [];
for (const { findings } of checkFiles(site, ["formulary.limb"], { on: "2026-11-25" })) {
  rules.push(...findings.map((finding) => finding.rule));
}
const amount: string = quantityText(quantity(rational("1.50"), "mg"));
console.log(JSON.stringify({ rules: [...new Set(rules)], amount }));
`;

/** Unpacks the package, and links what it depends on from this repository. */
function install(workspace: string): void {
  const { name, dependencies } = manifestOf(workspace);
  const folder = join(site, "node_modules", name);
  mkdirSync(folder, { recursive: true });
  const { filename, files } = pack(workspace);
  packed.set(
    workspace,
    files.map(({ path }) => path),
  );
  execFileSync("tar", ["-xzf", join(site, filename), "-C", folder, "--strip-components=1"]);
  for (const dependency of Object.keys(dependencies).filter((one) => !one.startsWith("@limbwright/"))) {
    const link = join(site, "node_modules", dependency);
    mkdirSync(dirname(link), { recursive: true });
    symlinkSync(join(ROOT, "node_modules", dependency), link);
  }
}

function pack(workspace: string): { filename: string; files: { path: string }[] } {
  const given = ["pack", "--json", "--workspace", workspace, "--pack-destination", site];
  const [only] = JSON.parse(execFileSync("npm", given, { cwd: ROOT, encoding: "utf8" }));
  return only;
}

function manifestOf(workspace: string): { name: string; dependencies: Record<string, string> } {
  return JSON.parse(readFileSync(join(ROOT, workspace, "package.json"), "utf8"));
}
