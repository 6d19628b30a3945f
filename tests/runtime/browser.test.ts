import { join } from "node:path";
import { createContext, runInContext } from "node:vm";
import { build } from "esbuild";
import { expect, test } from "vitest";
import { anyhow, noneOf, PATIENT, wristFile } from "./started-case.ts";

const SOURCE = join(import.meta.dirname, "../../shared/runtime/index.ts");

test("the runtime runs where there is nothing of Node: no module, no process, no clock", async () => {
  const { outputFiles, metafile } = await build({
    entryPoints: [SOURCE],
    bundle: true,
    format: "iife",
    globalName: "runtime",
    platform: "browser",
    metafile: true,
    write: false,
  });
  const inputs = Object.keys(metafile.inputs);
  expect(inputs.filter((file) => /node_modules/.test(file)).every((file) => /fraction\.js/.test(file))).toBe(
    true,
  );
  const code = outputFiles[0]?.text ?? "";
  expect(code).not.toMatch(/\bDate\b|\bMath\.random\b|\bsetTimeout\b|\bprocess\b|\brequire\(/);
  const file = wristFile();
  const context = createContext({ file, patient: PATIENT, answers: noneOf(file), options: anyhow(file) });
  runInContext(code, context);
  const end = runInContext(
    `runtime.start(file, patient, answers, options).case.advance(3600, { pace: "shortest" }).case.due(3600).inHand`,
    context,
  );
  expect(end).toBe("recovery 30 min");
});
