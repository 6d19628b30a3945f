export { canonicalText, digestOfText, meaningOf, proofOf } from "./digests.ts";
export { pointer, type RuleFileFault, valueAt } from "./fault.ts";
export { type FormField, type FormPart, type FormType, formOf, partOf } from "./form.ts";
export type * from "./generated/rule-file.ts";
export { baseInterval, baseValue, type Measure, type MeasuredRange } from "./measures.ts";
export {
  FORMAT,
  MOST_CHARACTERS,
  MOST_RULE_FILE_BYTES,
  RULE_FILE_SUFFIX,
  type RuleFileReading,
  readRuleFile,
} from "./read.ts";
