import type { Command } from "./command.ts";
import { compareWithCommit } from "./compare-with-commit.ts";
import { compareWithFile } from "./compare-with-file.ts";
import { compile } from "./compile.ts";
import { newProtocol } from "./new-protocol.ts";
import { saveSheet } from "./save-sheet.ts";
import { showRule } from "./show-rule.ts";
import { endRun, nextStep, previousStep, stepThroughRun } from "./step-through-run.ts";
import { tryExample } from "./try-example.ts";

/** Every command of the extension, but the one that runs a scenario: that is the test view's. */
export const COMMANDS: readonly Command[] = [
  compareWithCommit,
  compareWithFile,
  compile,
  newProtocol,
  saveSheet,
  showRule,
  stepThroughRun,
  nextStep,
  previousStep,
  endRun,
  tryExample,
];
