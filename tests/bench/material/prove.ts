import { readFileSync } from "node:fs";
import { join } from "node:path";
import { Site } from "../../../language/lower/site.ts";
import { catalogue } from "../../../language/rules/catalogue.ts";
import { runsFor } from "../../../language/rules/engine/runs-for.ts";

/**
 * Gives, for each protocol of a folder's files, a function that proves it: builds its automaton with what all rules watch, and goes
 * through every run. It says how many things some run breaks, and how many ways there are to be stuck.
 */
export function provers(folder: string, files: readonly string[]): { name: string; prove: () => number }[] {
  const site = new Site((file) => {
    try {
      return readFileSync(join(folder, file), "utf8");
    } catch {
      return undefined;
    }
  });
  const protocols = files.flatMap((file) => site.file(file)?.protocols ?? []);
  return protocols.map((protocol) => ({
    name: protocol.name,
    prove: () => {
      const { runs } = runsFor(protocol, catalogue);
      if (runs.kind !== "explored") throw new Error(`${protocol.name}: ${runs.limit}`);
      return catalogue.filter(({ id }) => runs.breaks(id)).length + runs.stuck.stuck.length;
    },
  }));
}
