import { InvalidArgumentError } from "commander";

/** A graduation given on the command line: a number of mL over zero, as a decimal text. */
export function graduationArgument(written: string): string {
  const number = written.replace(/\s*mL$/, "");
  if (/^\d+(\.\d+)?$/.test(number) && Number(number) > 0) return number;
  throw new InvalidArgumentError("Write the graduation as a number of mL, such as 0.5.");
}
