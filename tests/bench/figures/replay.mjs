import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { coldRuns } from "../cold-runs.mjs";
import { LIMB, MAKE_CASES, PARSE_CSV, PARSE_CSV_ROWS, PEAK_MEMORY, WRIST } from "../material/paths.mjs";
import { comparedWith, rounded } from "../row.mjs";

/** Cases of some 36 events each; in one of ten something is planted. */
const SIZES = [3000, 30_000];
/** What is reported to be there is no failure of the run. */
const FOUND = [0, 1, 3];

/** A million events in one call, beside a plain parse of the same file; and what ten times as many cost in memory. */
export function measure() {
  const folder = mkdtempSync(join(tmpdir(), "limb-replay-"));
  try {
    const rules = join(folder, "wrist.json");
    run([LIMB, "compile", WRIST, "--draft", "--out", rules]);
    const files = SIZES.map((count) => made(folder, count));
    const [small, large] = files.map((file) => peakOf(folder, file, rules));
    const file = files.at(-1);
    const events = /with ([\d,]+) events/.exec(run([LIMB, "replay", file, "--protocol", rules], FOUND))[1];
    const [parse, slower, replay] = coldRuns(
      [
        { what: "papaparse, plain parse of the same file", arguments: [PARSE_CSV, file] },
        { what: "csv-parse, plain parse of the same file", arguments: [PARSE_CSV_ROWS, file] },
        {
          what: `limb replay, ${events} events`,
          arguments: [LIMB, "replay", file, "--protocol", rules],
          codes: FOUND,
        },
      ],
      3,
    );
    const thousands = Number(events.replaceAll(",", "")) / replay.median;
    return [
      parse,
      slower,
      comparedWith(parse, replay, 3),
      { ...comparedWith(slower, replay), what: "the same, beside the other parser" },
      { what: "limb replay, events", unit: "thousand/s", median: rounded(thousands) },
      { what: "limb replay, peak memory", unit: "MB", median: rounded(large) },
      { what: "memory for ten times the events", unit: "times", median: rounded(large / small, 2) },
    ];
  } finally {
    rmSync(folder, { recursive: true });
  }
}

function made(folder, count) {
  const file = join(folder, `${count}.csv`);
  const given = ["--count", count, "--seed", 3, "--share", 0.1, "--times", "instant", "--out", file];
  run([MAKE_CASES, ...given].map(String));
  return file;
}

function peakOf(folder, file, rules) {
  const peakFile = join(folder, "peak-memory");
  run(["--require", PEAK_MEMORY, LIMB, "replay", file, "--protocol", rules], FOUND, {
    ...process.env,
    PEAK_MEMORY_FILE: peakFile,
  });
  return Number(readFileSync(peakFile, "utf8"));
}

function run(given, codes = [0], env = process.env) {
  const { status, stdout, stderr } = spawnSync(process.execPath, given, {
    encoding: "utf8",
    env,
    maxBuffer: 1 << 28,
  });
  if (!codes.includes(status)) {
    throw new Error(`${given.join(" ")} ended with code ${status}:\n${stderr}`);
  }
  return stdout;
}
