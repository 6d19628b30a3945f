export { type AutomatonOptions, type AutomatonResult, automataOf } from "./automaton.ts";
export { type CheckOptions, checkFiles, type FileCheck } from "./check.ts";
export { type CompileOptions, compileFile } from "./compile.ts";
export { type DoseTableOptions, type DoseTableResult, doseTablesOf } from "./dose-table.ts";
export { type FormatResult, formatText } from "./grammar/formatter/format-text.ts";
export { type JudgedFile, type JudgedProtocol, judgeFile } from "./judged-file.ts";
export { type ReadText, Site, type SiteFile } from "./lower/site.ts";
export {
  CAUTION,
  FINDINGS_FORMAT,
  findingLines,
  jsonReport,
  type Report,
  type Summary,
  someNames,
  Tally,
  textReport,
  type Unread,
  wrap,
} from "./outputs/findings/index.ts";
export { doseCurvesOf } from "./outputs/pictures/dose-curves.ts";
export { releasePictures, runPictureOf } from "./outputs/pictures/run-pictures.ts";
export type { Compiled, Refused } from "./outputs/rule-file/compile.ts";
export {
  FORMULARY_TEMPLATE,
  protocolTemplate,
  TEMPLATE_PLACES,
  type TemplatePlace,
} from "./outputs/template/protocol-template.ts";
export { CATALOGUE_VERSION, catalogue } from "./rules/catalogue.ts";
export { GENERAL_PARAMETERS } from "./rules/general-parameters.ts";
export type { JudgeOptions, ProtocolJudgement } from "./rules/judge.ts";
export type { Parameter } from "./rules/parameter.ts";
export type { Group, Rule } from "./rules/rule.ts";
export { closestRule, type ListedRule, ruleList } from "./rules/rule-list.ts";
export { type SheetResult, sheetsOf } from "./sheet.ts";
export {
  type Difference,
  type Verification,
  type VerifyOptions,
  verifyRuleFile,
} from "./verify.ts";
export { workspaceFindings } from "./workspace-findings.ts";
