export { canonicalText } from "./canonical.ts";
export { digestOfText, meaningOf, normalisedText, proofOf } from "./digests.ts";
export { pointer, type RuleFileFault, valueAt } from "./fault.ts";
export { type FormField, type FormPart, type FormType, formOf, partOf } from "./form.ts";
export type * from "./generated/rule-file.ts";
export { baseInterval, baseValue, type Measure, type MeasuredRange } from "./measures.ts";
export { MOST_RULE_FILE_BYTES, RULE_FILE_SUFFIX } from "./names.ts";
export { FORMAT, MOST_CHARACTERS, type RuleFileReading, readRuleFile } from "./read.ts";
