import type { Origin, RunEvidence, RunLine } from "@limbwright/shared/finding";
import type { Change, ProtocolComparison, SiteComparison } from "../../../language/compare/comparison.ts";
import type { ComparisonReport } from "../../../language/outputs/comparison/words.ts";

/** Comparisons written by hand, for what is made of them. */

const FILE = "protocols/wrist.limb";

function at(line: number, column = 3, file = FILE): Origin {
  const start = { line, column, offset: line * 40 + column };
  return { file, start, end: { ...start, column: column + 10, offset: start.offset + 10 } };
}

function line(
  seconds: number,
  what: string,
  after: string,
  of: number,
  more: Partial<RunLine> = {},
): RunLine {
  const time = `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
  return {
    time,
    seconds,
    kind: "start",
    what,
    after,
    standing: after,
    facts: [],
    isKey: false,
    isInjected: seconds > 60,
    origin: at(of),
    ...more,
  };
}

const RUN: RunEvidence = {
  lines: [
    line(0, "inflate proximal", "proximal up", 50),
    line(0, "confirm proximal", "proximal confirmed", 51),
    line(60, "inject local", "drug in the limb", 54, { isKey: true }),
    line(150, "inject local ends", "", 54, { isKey: true, kind: "end" }),
    line(150, "task <b>splint</b>", "", 58, { isKey: true }),
    line(1350, "deflate all", "proximal flat, drug released", 70, { isKey: true }),
  ],
};

const DOSE: Change = {
  kind: "looser",
  code: "dose-amount",
  part: "dose",
  about: "dose `local`",
  what: "More of `lidocaine` is given.",
  before: { says: "3 mg/kg up to 200 mg", origin: at(30, 5) },
  now: { says: "4 mg/kg up to 250 mg", origin: at(31, 5) },
  evidence: [
    {
      kind: "patients",
      direction: "more",
      side: "looser",
      ranges: ["45 kg to 130 kg"],
      exact: true,
      everybody: true,
      example: { patient: "60 kg", before: "180 mg", now: "240 mg", difference: "60 mg more" },
      greatest: { patient: "62.5 kg", before: "187.5 mg", now: "250 mg", difference: "62.5 mg more" },
    },
  ],
  raises: "first",
};

const HOLD: Change = {
  kind: "looser",
  code: "timer-minimum",
  part: "timer",
  about: "timer `hold`",
  what: "The last cuff may come down earlier.",
  before: { says: "at least 30 min", origin: at(36, 5) },
  now: { says: "at least 20 min", origin: at(36, 5) },
  evidence: [
    { kind: "run", side: "gained", run: RUN, other: "Before, `deflate all` could begin only at 32:30." },
    {
      kind: "value",
      side: "looser",
      says: "The last cuff coming down with `hold` at 20:00 breaks no claim of `hold` now; before, it did.",
      run: RUN,
    },
  ],
  raises: "first",
};

const MARGIN: Change = {
  kind: "tighter",
  code: "parameter-value",
  part: "local-rules",
  about: "local rules `ward`",
  what: "A greater margin over the systolic pressure is asked for.",
  before: { says: "margin 80 mmHg", origin: at(4, 3, "local-rules.limb") },
  now: { says: "margin 100 mmHg", origin: at(4, 3, "local-rules.limb") },
  evidence: [{ kind: "value", side: "tighter", says: "A margin of 80 mmHg passed before and does not now." }],
  raises: "second",
};

const CAUTION_TEXT: Change = {
  kind: "needs-a-reader",
  code: "patient-condition-text",
  part: "patients",
  about: "caution `raynaud`",
  what: "The text of a caution is another.",
  before: { says: '"Raynaud\'s disease"', origin: at(22, 5) },
  now: {
    says: '"Raynaud\'s <script>alert(1)</script> | [disease](https://tarn.example) @surgeon"',
    origin: at(22, 5),
  },
  evidence: [],
  raises: "second",
};

const STEPS: Change = {
  kind: "different",
  code: "runs",
  part: "runs",
  about: "steps",
  what: "The steps stand in another order.",
  now: { says: "confirm no pulse, remove bandage", origin: at(60, 5) },
  evidence: [],
  raises: "second",
  notDecided: "more runs than could be gone through",
};

const LAYOUT: Change = {
  kind: "wording",
  code: "protocol-title",
  part: "document",
  about: "title",
  what: "The title is written otherwise.",
  evidence: [],
  raises: "third",
};

const before = { name: "wrist", title: "Wrist", version: "1.4.0", status: "approved", origin: at(4, 10) };
const now = {
  name: "wrist",
  title: "Wrist <script>alert(2)</script>",
  version: "1.5.0",
  status: "draft",
  origin: at(4, 10),
};

export const LOOSER: ProtocolComparison = {
  protocol: "wrist",
  outcome: "changed",
  before,
  now,
  changes: [DOSE, HOLD, MARGIN, CAUTION_TEXT, LAYOUT],
  notCompared: [],
  times: [
    { what: "earliest release after the injection", before: "30:00", now: "20:00", kind: "looser" },
    { what: "latest release after the injection", before: "under 50:45", now: "under 50:45", kind: "same" },
  ],
  version: { before: "1.4.0", now: "1.5.0", needed: "first", raised: "second", isEnough: false },
};

export const UNDECIDED: ProtocolComparison = {
  protocol: "ankle",
  outcome: "not-decided",
  before: { ...before, name: "ankle", title: "Ankle", ruleFile: "approved/ankle-1.4.0.json" },
  now: { ...now, name: "ankle", title: "Ankle", version: "1.4.1" },
  changes: [STEPS],
  notCompared: [
    { side: "now", limit: "part of the text was not understood", origin: at(12, 3, "protocols/ankle.limb") },
  ],
  times: [{ what: "shortest occlusion", before: "33:50", now: "not known", kind: "not-decided" }],
  version: { before: "1.4.0", now: "1.4.1", needed: "second", raised: "third", isEnough: false },
};

/** Not everything could be compared, and in the rest there is no change. */
export const BROKEN: ProtocolComparison = { ...UNDECIDED, changes: [], times: [] };

export const UNCHANGED: ProtocolComparison = {
  protocol: "hand",
  outcome: "nothing",
  before: { ...before, name: "hand", title: "Hand" },
  now: { ...before, name: "hand", title: "Hand" },
  changes: [],
  notCompared: [],
  times: [],
  version: { before: "1.4.0", now: "1.4.0", needed: "none", raised: "none", isEnough: true },
};

export const REWORDED: ProtocolComparison = {
  ...UNCHANGED,
  protocol: "knee",
  outcome: "changed",
  changes: [LAYOUT],
};

export const ADDED: ProtocolComparison = {
  protocol: "thumb",
  outcome: "added",
  now: { ...now, name: "thumb", title: "Thumb", version: "0.1.0" },
  changes: [],
  notCompared: [],
  times: [],
  version: { now: "0.1.0", needed: "none", raised: "none", isEnough: true },
};

export const REMOVED: ProtocolComparison = {
  ...ADDED,
  protocol: "calf",
  outcome: "removed",
  before: { ...before, name: "calf", title: "Calf" },
};

export function reportOf(
  protocols: readonly ProtocolComparison[],
  notCompared: SiteComparison["notCompared"] = [],
): ComparisonReport {
  return { before: "HEAD", now: "the folder `.`", on: "2026-11-25", comparison: { protocols, notCompared } };
}

/** One of everything. */
export const WHOLE = reportOf(
  [LOOSER, UNDECIDED, UNCHANGED, ADDED, REMOVED],
  [{ side: "before", limit: "`old.limb` is not UTF-8" }],
);
