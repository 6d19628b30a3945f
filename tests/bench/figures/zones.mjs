import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { bundleSource } from "../../../.development/steps/sources.mjs";
import { EXPLORE_MODEL, PEAK_MEMORY } from "../material/paths.mjs";
import { comparedWith, rounded, summary } from "../row.mjs";

const FISCHER = [3, 4, 5, 6, 7, 8].map((processes) => ({ model: "fischer", sizes: [processes] }));
const CARRIER_SENSE = [3, 4, 5, 6].map((stations) => ({ model: "carrierSense", sizes: [stations] }));
const STEPWISE = [40, 100, 200].flatMap((steps) =>
  [4, 8, 16].map((interruptions) => ({ model: "stepwise", sizes: [steps, interruptions] })),
);
/** The plain prototype needs several seconds for the largest. */
const WITH_PEER = 7;
/** The first run in a process meets code that is not compiled yet: it counts as a warm-up. */
const RUNS = 5;

/**
 * The zone engine alone: two models that are standard in the field, and chains of timed steps with interruptions
 * as protocols have them; against the same search written down plainly in the same language.
 */
export async function measure() {
  const folder = mkdtempSync(join(tmpdir(), "limb-zones-"));
  try {
    const bundle = join(folder, "zones.mjs");
    writeFileSync(bundle, await bundleSource("tests/bench/material/zones.ts"));
    const run = (program, model, runs) => explored({ folder, bundle, program, runs, ...model });
    const measured = [...FISCHER, ...CARRIER_SENSE, ...STEPWISE].map((model) => ({
      model,
      ...run("engine", model, RUNS),
      peak: run("engine", model, 1).peak,
    }));
    return [
      ...measured.flatMap(rowsOf),
      ...growthOf(measured),
      ...measured
        .filter(({ model }) => model.model === "fischer" && model.sizes[0] >= WITH_PEER)
        .map((engine) => comparisonWith(engine, run("plain", engine.model, 3))),
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

/** Explores a model in a process of its own: zones, transitions, times without the first, and the peak memory. */
function explored({ folder, bundle, program, runs, model, sizes }) {
  const peakFile = join(folder, "peak-memory");
  const given = ["--require", PEAK_MEMORY, EXPLORE_MODEL, bundle, runs, program, model, ...sizes].map(String);
  const env = { ...process.env, PEAK_MEMORY_FILE: peakFile };
  const { status, stdout, stderr } = spawnSync(process.execPath, given, { encoding: "utf8", env });
  if (status !== 0) {
    throw new Error(`${given.join(" ")} ended with code ${status}:\n${stderr}`);
  }
  const { zones, transitions, milliseconds } = JSON.parse(stdout);
  return { zones, transitions, times: milliseconds.slice(1), peak: Number(readFileSync(peakFile, "utf8")) };
}

function rowsOf({ model, zones, transitions, times, peak }) {
  const name = nameOf(model);
  return [
    { what: `${name}: ${zones} zones, ${transitions} transitions`, unit: "ms", ...summary(times) },
    {
      what: `${name}, transitions`,
      unit: "thousand/s",
      ...summary(times.map((time) => transitions / time)),
    },
    { what: `${name}, peak memory of the process`, unit: "MB", median: rounded(peak) },
  ];
}

/** How the time for a transition grows from the smallest to the largest model of a kind. */
function growthOf(measured) {
  return ["fischer", "carrierSense", "stepwise"].map((kind) => {
    const ofKind = measured.filter(({ model }) => model.model === kind);
    const [small, large] = [ofKind[0], ofKind.at(-1)];
    return {
      what: `time a transition, ${nameOf(large.model)} against ${nameOf(small.model)}`,
      unit: "times",
      median: rounded(timeOfOne(large) / timeOfOne(small), 2),
    };
  });
}

function timeOfOne({ times, transitions }) {
  return summary(times).median / transitions;
}

function comparisonWith({ model, zones, transitions, times }, plain) {
  if (plain.zones !== zones || plain.transitions !== transitions) {
    throw new Error(`${nameOf(model)}: the plain prototype finds ${plain.zones} zones, not ${zones}`);
  }
  const engine = { what: nameOf(model), unit: "ms", ...summary(times) };
  return comparedWith(engine, {
    what: `${nameOf(model)}, plain prototype`,
    unit: "ms",
    ...summary(plain.times),
  });
}

function nameOf({ model, sizes }) {
  switch (model) {
    case "fischer":
      return `Fischer, ${sizes[0]} processes`;
    case "carrierSense":
      return `CSMA/CD, ${sizes[0]} stations`;
    default:
      return `${sizes[0]} steps, ${sizes[1]} handlers`;
  }
}
