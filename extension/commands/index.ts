import type { Command } from "./command.ts";
import { compareWithCommit, compareWithFile } from "./compare.ts";
import { newProtocol, tryExample } from "./new-protocol.ts";
import { showRule } from "./show-rule.ts";
import { endRun, nextStep, previousStep, stepThroughRun } from "./step-through-run.ts";
import { compile, saveSheet } from "./write-outputs.ts";

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
