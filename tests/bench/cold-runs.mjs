import { spawnSync } from "node:child_process";
import { summary } from "./row.mjs";

const WARM_UP_ROUNDS = 2;

/**
 * Runs each program in a process of its own, in turn, `rounds` times over, so that a slow moment of the
 * machine meets all of them alike. Throws when one ends with a code that it should not: the time of a failure
 * says nothing.
 *
 * @param {{ what: string, arguments: string[], codes?: number[], environment?: Record<string, string> }[]} programs
 *   arguments of `node`, the codes it may end with (else 0 alone), and what to add to its environment
 * @returns {import("./row.mjs").Row[]} a row each, in ms of wall clock from start to exit
 */
export function coldRuns(programs, rounds) {
  const times = programs.map(() => []);
  for (let round = -WARM_UP_ROUNDS; round < rounds; round++) {
    programs.forEach((program, index) => {
      const time = timeOf(program);
      if (round >= 0) {
        times[index].push(time);
      }
    });
  }
  return programs.map(({ what }, index) => ({ what, unit: "ms", ...summary(times[index]) }));
}

function timeOf({ what, arguments: given, codes = [0], environment = {} }) {
  const env = { ...process.env, ...environment };
  const start = process.hrtime.bigint();
  const { status, stdout, stderr } = spawnSync(process.execPath, given, {
    encoding: "utf8",
    env,
    maxBuffer: 1 << 28,
  });
  const time = Number(process.hrtime.bigint() - start) / 1e6;
  if (!codes.includes(status)) {
    throw new Error(`${what} ended with code ${status}:\n${stdout}${stderr}`);
  }
  return time;
}
