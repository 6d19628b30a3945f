export { CAUTION } from "@limbwright/shared/text";
export { type CheckOptions, checkFiles, type FileCheck } from "./check/check.ts";
export { type JudgedProtocol, textFindingsBefore } from "./check/judged.ts";
export { type JudgedFile, type JudgeFileOptions, judgeFile } from "./check/judged-file.ts";
export { RememberedJudgements } from "./check/remembered-judgements.ts";
export { workspaceFindings } from "./check/workspace-findings.ts";
export {
  CHANGE_KINDS,
  type ChangeCode,
  type ChangedPart,
  type ChangeKind,
  changeList,
  changePage,
  type ListedChange,
  type RaisedNumber,
} from "./compare/codes.ts";
export {
  type ComparedProtocol,
  type ComparedSite,
  type CompareOptions,
  compareSites,
} from "./compare/compare-sites.ts";
export * from "./compare/comparison.ts";
export {
  type CompiledReading,
  type CompiledVersion,
  chosenVersions,
  isMeantAsRuleFile,
  readCompiledVersion,
  refusalOf,
} from "./compare/compiled-version.ts";
export { type EarlierTexts, earlierVersions } from "./compare/earlier-versions.ts";
export type { SideJudged } from "./compare/side.ts";
export { type FormatResult, formatText } from "./grammar/formatter/format-text.ts";
export { type ReadText, Site, type SiteFile } from "./lower/site.ts";
export { closestName } from "./model/spelling.ts";
export { type AutomatonOptions, type AutomatonResult, automataOf } from "./outputs/automaton/automata.ts";
export {
  type ComparisonSection,
  comparisonBody,
  comparisonPage,
  comparisonSection,
  STYLE as COMPARISON_STYLE,
} from "./outputs/comparison/html.ts";
export { comparisonJson } from "./outputs/comparison/json.ts";
export { comparisonMarkdown } from "./outputs/comparison/markdown.ts";
export { releaseNotes } from "./outputs/comparison/notes.ts";
export { comparisonText } from "./outputs/comparison/text.ts";
export { type ComparisonReport, verdictOf } from "./outputs/comparison/words.ts";
export { type FhirCompiled, fhirBundlesOf } from "./outputs/fhir/bundle.ts";
export type { NotCoded } from "./outputs/fhir/definitions.ts";
export { FINDINGS_FORMAT, jsonReport } from "./outputs/findings/json.ts";
export { type Report, type Summary, Tally, type Unread } from "./outputs/findings/tally.ts";
export { wrap } from "./outputs/findings/terminal.ts";
export { textReport } from "./outputs/findings/text.ts";
export { findingLines } from "./outputs/findings/text-finding.ts";
export { envelopeText, placeText, someNames } from "./outputs/findings/words.ts";
export { openPointIn } from "./outputs/hazards/document.ts";
export { type HazardLog, hazardLog, hazardLogsOf, type ProtocolHazardLog } from "./outputs/hazards/log.ts";
export { hazardMarkdown } from "./outputs/hazards/markdown.ts";
export { hazardText } from "./outputs/hazards/text.ts";
export { doseCurvesOf } from "./outputs/pictures/doses.ts";
export { type PictureTitle, releasePictures, runPictureOf } from "./outputs/pictures/run-pictures.ts";
export { scenariosJson } from "./outputs/scenarios/json.ts";
export { scenariosJunit } from "./outputs/scenarios/junit.ts";
export {
  coverageText,
  type ScenarioTally,
  type ScenarioTextOptions,
  scenarioEndText,
  scenariosText,
  scenarioTally,
} from "./outputs/scenarios/text.ts";
export { sheetPage, sheetPaper } from "./outputs/sheet/page.ts";
export { type SheetResult, sheetOfJudged, sheetsOf } from "./outputs/sheet/sheets.ts";
export { type PatientFigures, patientFigures, type TypedPatient } from "./outputs/table/patient-figures.ts";
export {
  type DoseTableOptions,
  type DoseTableResult,
  doseTablesOf,
} from "./outputs/table/table.ts";
export {
  FORMULARY_TEMPLATE,
  protocolTemplate,
  TEMPLATE_PLACES,
  type TemplatePlace,
} from "./outputs/template/protocol-template.ts";
export { type Compiled, type CompileOptions, compileFile, type Refused } from "./rule-file/compile.ts";
export type { Difference } from "./rule-file/differences.ts";
export { type Verification, type VerifyOptions, verifyRuleFile } from "./rule-file/verify.ts";
export { catalogue, type ListedRule, ruleList } from "./rules/catalogue.ts";
export { CATALOGUE_VERSION } from "./rules/engine/catalogue-version.ts";
export type { AnyRule, Group } from "./rules/engine/definition.ts";
export type { JudgeOptions, ProtocolJudgement } from "./rules/engine/judge.ts";
export { type Releases, releasesOf } from "./rules/engine/over-runs.ts";
export { boundsText, GENERAL_PARAMETERS, type Parameter, standardSource } from "./rules/engine/parameter.ts";
export { type ProtocolCoverage, togetherCovered } from "./scenarios/coverage.ts";
export type { LineResult, ScenarioOutcome, ScenarioResult } from "./scenarios/result.ts";
export { type FileScenarios, scenarioResult, scenarioResults } from "./scenarios/scenario-results.ts";
