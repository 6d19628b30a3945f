// Asks the zone engine alone: `npm run reach -- FILE` reads timed automata and writes one answer a line, as JSON.
// The format is described in tests/language/runs/timed-automata/automata.md.

import { readFileSync } from "node:fs";
import { importSource } from "./steps/sources.mjs";

const [file, ...more] = process.argv.slice(2);
if (file === undefined || more.length > 0) {
  refuse("Name one file of timed automata: npm run reach -- FILE");
}
const { readQuestions } = await importSource("tests/language/runs/timed-automata/read.ts");
const { answer } = await importSource("tests/language/runs/timed-automata/answer.ts");
for (const question of questionsOf(file)) {
  console.log(JSON.stringify(answer(question)));
}

function questionsOf(path) {
  try {
    return readQuestions(readFileSync(path, "utf8"));
  } catch (error) {
    return refuse(`${path} cannot be answered: ${error.message}`);
  }
}

function refuse(words) {
  console.error(words);
  process.exit(2);
}
