// Loaded into a measured process with --require: says at its end how much memory it took at most, in MB.
"use strict";

const { writeFileSync } = require("node:fs");

process.on("exit", () => {
  writeFileSync(process.env.PEAK_MEMORY_FILE, String(process.resourceUsage().maxRSS / 1024));
});
