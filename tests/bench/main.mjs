// The benchmarks: `npm run bench`, `npm run bench -- --json`, `npm run bench -- check-cold`.
// Times differ from machine to machine; read the ratios, which compare programs in the same run.

import { readdirSync } from "node:fs";
import { cpus } from "node:os";
import { parseArgs } from "node:util";
import { line } from "./row.mjs";

const { values, positionals } = parseArgs({ allowPositionals: true, options: { json: { type: "boolean" } } });
const names = readdirSync(new URL("figures/", import.meta.url)).map((file) => file.replace(/\.mjs$/, ""));
const unknown = positionals.filter((name) => !names.includes(name));

if (unknown.length > 0) {
  console.error(`There is no figure ${unknown.join(", ")}. The figures are ${names.join(", ")}.`);
  process.exit(2);
}

const rows = [];
for (const name of positionals.length > 0 ? positionals : names) {
  const { measure } = await import(`./figures/${name}.mjs`);
  for (const row of await measure()) {
    rows.push({ figure: name, ...row });
    if (!values.json) {
      console.log(line(name, row));
    }
  }
}
if (values.json) {
  const machine = {
    node: process.version,
    platform: process.platform,
    arch: process.arch,
    cores: cpus().length,
  };
  console.log(JSON.stringify({ machine, rows }, undefined, 2));
}
