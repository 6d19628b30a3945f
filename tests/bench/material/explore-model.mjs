// Explores a model so many times, with the engine or with the plain prototype, and says how much time each took of the
// processor (of all threads, the collector's too), which other programs on the machine change less than the clock's:
// node explore-model.mjs BUNDLE TIMES engine|plain MODEL SIZE...

import { pathToFileURL } from "node:url";
import { explorePlainly } from "./peers/plain-zones.mjs";

const [bundle, times, program, model, ...sizes] = process.argv.slice(2);
const { explore, ...models } = await import(pathToFileURL(bundle));
const milliseconds = [];
let found;
for (let time = 0; time < Number(times); time += 1) {
  const system = models[model](...sizes.map(Number));
  const start = process.cpuUsage();
  found = program === "plain" ? explorePlainly(system) : exploreByEngine(system);
  const { user, system: kernel } = process.cpuUsage(start);
  milliseconds.push((user + kernel) / 1e3);
}
console.log(JSON.stringify({ ...found, milliseconds }));

function exploreByEngine(system) {
  const { end, nodeCount, transitions } = explore(system, { extrapolation: "lower-upper" });
  if (end !== "complete") {
    throw new Error(`The search ended ${end}`);
  }
  return { zones: nodeCount, transitions };
}
