export type { CaseRows } from "./case-rows.ts";
export { headerOf, RECORD_FORMAT } from "./columns.ts";
export * from "./deviation.ts";
export { CaseJudge, type JudgeOptions } from "./judge-case.ts";
export { KnownEvents } from "./known-events.ts";
export { type RecordSummary, RowReader, type RowReaderOptions } from "./read-rows.ts";
