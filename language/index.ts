export { checkFiles, type FileCheck } from "./check.ts";
export { type CompileOptions, compileFile } from "./compile.ts";
export { type DoseTableOptions, type DoseTableResult, doseTablesOf } from "./dose-table.ts";
export { type FormatResult, formatText } from "./grammar/formatter/format-text.ts";
export { type ReadText, Site, type SiteFile } from "./lower/site.ts";
export type { Compiled } from "./outputs/rule-file/compile.ts";
export { CATALOGUE_VERSION, catalogue } from "./rules/catalogue.ts";
export type { JudgeOptions, ProtocolJudgement } from "./rules/judge.ts";
export type { Group, Rule } from "./rules/rule.ts";
export {
  type Difference,
  type FileFault,
  type Verification,
  type VerifyOptions,
  verifyRuleFile,
} from "./verify.ts";
