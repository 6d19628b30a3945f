import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { coldRuns } from "../cold-runs.mjs";
import { hospitalGroup } from "../material/hospital-group.mjs";
import { CLEAN, LIMB, PEAK_MEMORY } from "../material/paths.mjs";
import { rounded } from "../row.mjs";

const COUNTS = [250, 500, 1000];

/** One process checking all protocols of a hospital group: the time grows with their number, the memory hardly. */
export function measure() {
  const groups = COUNTS.map((count) => ({ count, folder: hospitalGroup(count) }));
  try {
    const sizes = groups.map(checkGroup);
    const [small, , large] = sizes;
    return [
      ...sizes.flatMap(({ time, memory }) => [time, memory]),
      {
        what: "time for 1,000, against four times 250",
        unit: "times",
        median: rounded(large.time.median / (4 * small.time.median), 2),
      },
      {
        what: "memory for 1,000, against 250",
        unit: "times",
        median: rounded(large.memory.median / small.memory.median, 2),
      },
    ];
  } finally {
    for (const { folder } of groups) {
      rmSync(folder, { recursive: true });
    }
  }
}

function checkGroup({ count, folder }) {
  const peakFile = join(folder, "peak-memory");
  const [time] = coldRuns(
    [
      {
        what: `limb check, ${count} protocols, time`,
        arguments: ["--require", PEAK_MEMORY, LIMB, "check", folder],
        codes: CLEAN,
        environment: { PEAK_MEMORY_FILE: peakFile },
      },
    ],
    3,
  );
  const megabytes = rounded(Number(readFileSync(peakFile, "utf8")));
  return {
    time,
    memory: { what: `limb check, ${count} protocols, peak memory`, unit: "MB", median: megabytes },
  };
}
