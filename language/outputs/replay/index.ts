export {
  type ReplayJsonHead,
  replayJsonCase,
  replayJsonEnd,
  replayJsonStart,
} from "./json.ts";
export { type ReplayedFile, ReplayTally } from "./tally.ts";
export { caseText, type ReplayTextOptions, replayEndText, replayFileText, replayHeadText } from "./text.ts";
