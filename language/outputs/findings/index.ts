export { CAUTION } from "@limbwright/shared/text";
export { envelopeText } from "./envelope-lines.ts";
export { FINDINGS_FORMAT, jsonReport } from "./json.ts";
export type { Report, Unread } from "./report.ts";
export { type Summary, Tally } from "./tally.ts";
export { textReport } from "./text.ts";
export { findingLines } from "./text-finding.ts";
export { someNames } from "./words.ts";
export { wrap } from "./wrap.ts";
