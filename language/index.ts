export { checkFiles, type FileCheck } from "./check.ts";
export { type ReadText, Site, type SiteFile } from "./lower/site.ts";
export { catalogue, CATALOGUE_VERSION } from "./rules/catalogue.ts";
export type { JudgeOptions, ProtocolJudgement } from "./rules/judge.ts";
export type { Group, Rule } from "./rules/rule.ts";
