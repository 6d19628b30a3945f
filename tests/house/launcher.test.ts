import { spawnSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import module from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";

const PROGRAMS = join(import.meta.dirname, "../../server/bin");
const DIGEST = "0123456789abcdef";
const BUNDLE = `// ${DIGEST}\nfunction answer() { return "checked " + process.argv.slice(2).join(" "); }\nconsole.log(answer());\n`;

let root = "";
let dist = "";
let kept = "";

/** A place with the launcher and a small bundle in it, as in a clone. */
beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), "limb-launcher-"));
  dist = join(root, "server/dist");
  kept = join(dist, "compiled", `${DIGEST}-${process.version}-${process.arch}.bin`);
  cpSync(PROGRAMS, join(root, "server/bin"), { recursive: true });
  mkdirSync(dist);
  writeFileSync(join(dist, "limb.cjs"), BUNDLE);
});

afterEach(() => {
  rmSync(root, { recursive: true });
});

function limb(...given: string[]) {
  return limbWith({}, ...given);
}

function limbWith(environment: Readonly<Record<string, string>>, ...given: string[]) {
  const env = { ...process.env, ...environment };
  return spawnSync(process.execPath, [join(root, "server/bin/limb.cjs"), ...given], {
    encoding: "utf8",
    env,
  });
}

describe("compiled code", "enableCompileCache" in module ? keptByNode : keptBesideTheBundle);

function keptByNode() {
  test("is kept by Node, and nothing lies in the folder of the package", () => {
    const NODE_COMPILE_CACHE = join(root, "kept by Node");
    const { status, stdout, stderr } = limbWith({ NODE_COMPILE_CACHE }, "check", "a.limb");
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "checked check a.limb\n", stderr: "" });
    expect(readdirSync(NODE_COMPILE_CACHE, { recursive: true }).length).toBeGreaterThan(1);
    expect(readdirSync(dist)).toEqual(["limb.cjs"]);
  });

  test("that cannot be kept only costs time", () => {
    const NODE_COMPILE_CACHE = join(dist, "limb.cjs");
    const { status, stdout, stderr } = limbWith({ NODE_COMPILE_CACHE }, "check");
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "checked check\n", stderr: "" });
  });
}

function keptBesideTheBundle() {
  test("is kept by a check, under the bundle's digest and the version of Node", () => {
    expect(limb("check", "a.limb").stdout).toBe("checked check a.limb\n");
    expect(readdirSync(join(dist, "compiled"))).toEqual([`${DIGEST}-${process.version}-${process.arch}.bin`]);
  });

  test("is used as it is by the next check", () => {
    limb("check");
    const before = readFileSync(kept);
    expect(limb("check").stdout).toBe("checked check\n");
    expect(readFileSync(kept).equals(before)).toBe(true);
  });

  test("is not kept by another command, which runs through too little of the code", () => {
    expect(limb("rules").stdout).toBe("checked rules\n");
    expect(existsSync(join(dist, "compiled"))).toBe(false);
  });

  test("that is damaged is put aside silently, and replaced", () => {
    limb("check");
    const whole = readFileSync(kept);
    writeFileSync(kept, whole.subarray(0, 40));
    const { status, stdout, stderr } = limb("check");
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "checked check\n", stderr: "" });
    expect(readFileSync(kept).length).toBe(whole.length);
  });

  test("of another bundle of the same length is never used", () => {
    limb("check");
    const other = BUNDLE.replace(DIGEST, "fedcba9876543210").replace("checked", "CHECKED");
    expect(other.length).toBe(BUNDLE.length);
    writeFileSync(join(dist, "limb.cjs"), other);
    expect(limb("check").stdout).toBe("CHECKED check\n");
  });

  test("that cannot be kept only costs time", () => {
    writeFileSync(join(dist, "compiled"), "a file where the folder should be");
    const { status, stdout, stderr } = limb("check");
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "checked check\n", stderr: "" });
  });
}

describe("a missing bundle", () => {
  beforeEach(() => {
    rmSync(join(dist, "limb.cjs"));
  });

  test("is built on first use, with one line about it among the messages", () => {
    steps(
      "",
      `require("fs").writeFileSync(${JSON.stringify(join(dist, "limb.cjs"))}, ${JSON.stringify(BUNDLE)})`,
    );
    const { status, stdout, stderr } = limb("check");
    expect({ status, stdout }).toEqual({ status: 0, stdout: "checked check\n" });
    expect(stderr.trimEnd().split("\n")).toEqual([
      "limb: first use, building the command line; this takes a few seconds.",
    ]);
  });

  test("whose build fails is told with what the build said and what to do", () => {
    steps(`console.error("no space left"); process.exit(1)`, "");
    const { status, stdout, stderr } = limb("check");
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toContain("no space left");
    expect(stderr).toContain(`Run "npm ci" in ${root}, then try again.`);
  });

  test("in an installed package, which cannot be built, is told in one line", () => {
    const { status, stderr } = limb("check");
    expect(status).toBe(2);
    expect(stderr).toMatch(/^limb: .*limb\.cjs is missing\. Install the package again\.\n$/);
  });

  function steps(generate: string, build: string) {
    mkdirSync(join(root, ".development"));
    const asModule = (code: string) => `import { createRequire } from "node:module";
const require = createRequire(import.meta.url);
${code};
`;
    writeFileSync(join(root, ".development/generate.mjs"), asModule(generate));
    writeFileSync(join(root, ".development/build.mjs"), asModule(build));
  }
});
