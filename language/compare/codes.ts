/**
 * What a change does to a protocol. `looser`: a patient, a run or a value is allowed that was not. `tighter`: one is no
 * longer allowed. `different`: neither can be said, or both sides cannot be held against each other. `needs-a-reader`: a
 * text changed that a person has to judge. `wording`: something is written otherwise and means the same.
 *
 * Where a change is both looser and tighter it is `looser`, and shows both: nothing is netted.
 */
export type ChangeKind = "looser" | "tighter" | "different" | "needs-a-reader" | "wording";

/** From the one that most needs to be looked at. */
export const CHANGE_KINDS: readonly ChangeKind[] = [
  "looser",
  "different",
  "tighter",
  "needs-a-reader",
  "wording",
];

/** Which number of a version a change asks to be raised: 1 in 1.4.0 is the first. `none`: the standing of a document alone. */
export type RaisedNumber = "first" | "second" | "third" | "none";

/** How what changed is held against what was: each kind that such a change can be of, with what makes it one. */
interface Measure {
  readonly kinds: Partial<Readonly<Record<ChangeKind, string>>>;
  /** The way in which a bound asks for more. */
  readonly tighter?: "higher" | "lower";
  /** Another drug, another concentration, another order of steps: `different` asks for the first number as looser does. */
  readonly isOfFirstNumber?: true;
  /** It is the standing of the document, or the program that judges it: it asks for no number. */
  readonly isStanding?: true;
}

const RUNS_STAY = "Every run stays as it was.";
const OF_RESCUE = "It concerns a rescue drug, where neither more nor less is looser.";
const BOUND = {
  looser: "It asks for less, or no longer asks for anything.",
  tighter: "It asks for more than it did.",
};
const RUN_TIME = {
  looser: "It allows a time that was not allowed, and some run is gained.",
  tighter: "It no longer allows a time, and some run is lost.",
  different: "Runs are gained or lost, but not because of this.",
  wording: RUNS_STAY,
};

const MEASURES = {
  least: { tighter: "higher", kinds: BOUND },
  most: { tighter: "lower", kinds: BOUND },
  gap: { tighter: "higher", isOfFirstNumber: true, kinds: { ...BOUND, different: OF_RESCUE } },
  giving: {
    isOfFirstNumber: true,
    kinds: {
      looser: "It may be given in a way that was not allowed.",
      tighter: "It may no longer be given in a way that was allowed.",
      different: OF_RESCUE,
    },
  },
  amount: {
    isOfFirstNumber: true,
    kinds: {
      looser: "It is more for some patient whom both versions cover.",
      tighter: "It is less for some patient, and more for none.",
      different:
        "It could not be decided, or it is the amount of a rescue drug, where neither more nor less is looser.",
      "needs-a-reader": "It differs only for patients whom the earlier version did not cover.",
    },
  },
  pressure: { kinds: { different: "Too low lets the drug past the cuff, too high harms the nerve." } },
  range: { kinds: { looser: "Somebody is let in who was not.", tighter: "Somebody is no longer let in." } },
  demand: { kinds: { looser: "Less is asked for.", tighter: "More is asked for." } },
  decision: {
    kinds: {
      looser: "It was a contraindication and no longer is one.",
      tighter: "It is a contraindication and was not one before.",
      "needs-a-reader": "It was not a contraindication, and is not one now.",
    },
  },
  parameter: {
    kinds: {
      looser: "A value passes that did not.",
      tighter: "A value no longer passes.",
      different: "No value of this parameter asks for more than another.",
    },
  },
  replaced: { isOfFirstNumber: true, kinds: { different: "One cannot be measured against the other." } },
  different: { kinds: { different: "It has changed, and can be called neither looser nor tighter." } },
  order: {
    isOfFirstNumber: true,
    kinds: { different: "Something else is done, or it is done at another point.", wording: RUNS_STAY },
  },
  "run-least": { tighter: "higher", kinds: RUN_TIME },
  "run-most": { tighter: "lower", kinds: RUN_TIME },
  runs: {
    isOfFirstNumber: true,
    kinds: {
      looser: "A step may come at a time at which it could not.",
      tighter: "A step may no longer come at a time at which it could.",
      different: "Other steps come, or come in another order; or it was not decided.",
    },
  },
  gained: { kinds: { looser: "Some run releases earlier or later than any run did before." } },
  text: { kinds: { "needs-a-reader": "Only a person can judge it." } },
  name: {
    kinds: {
      wording: "All else says the same.",
      "needs-a-reader": "All else says nearly the same, so a person has to say whether it is the same one.",
    },
  },
  title: { kinds: { wording: "Its title has not changed.", "needs-a-reader": "Its title has changed." } },
  wording: { kinds: { wording: "It means the same." } },
  standing: {
    isStanding: true,
    kinds: { wording: "It is the standing of the document, not what it means." },
  },
  recorded: {
    isStanding: true,
    kinds: { different: "The rules have changed since the rule file was compiled, not the protocol." },
  },
  catalogue: { isStanding: true, kinds: { "needs-a-reader": "The rules have changed, not the protocol." } },
  answer: {
    kinds: {
      different: "The change that caused it is listed beside it.",
      wording: "The rule looks at how something is written.",
    },
  },
} as const satisfies Readonly<Record<string, Measure>>;

/** One kind of change: how it is measured, what it is about, and the rules of the catalogue that look at the same. */
type Row = readonly [by: keyof typeof MEASURES, of: string, ...near: readonly string[]];

const MAXIMA = ["dose-over-maximum", "cumulative-dose-over-maximum", "combined-anaesthetics-over-maximum"];

/**
 * Every kind of change, by the part of a protocol that it is told of, in the order in which parts are told. A code is stable:
 * programs that read a comparison ask for it.
 */
const PARTS = {
  patients: {
    "patient-range": ["range", "a range of the patients that the protocol covers", "bounds-contradict"],
    "patient-condition": ["decision", "the decision on a condition", "condition-not-decided"],
    "patient-condition-text": ["text", "the text about a condition"],
  },
  drug: {
    "drug-name": ["title", "the name or the title of a drug that stays the same"],
    "drug-maximum": ["amount", "the maximum of a drug", ...MAXIMA, "agent-maximum-above-label"],
    "drug-kind": ["replaced", "the kind of a drug", "agent-not-for-ivra"],
    "drug-atc": ["replaced", "the ATC code of a drug"],
    "drug-concentration": ["replaced", "the concentrations of a drug", "concentration-not-usual"],
    "drug-supply": ["different", "the supply of a drug", "dilution-disagrees"],
    "drug-diluent": ["different", "the diluent of a drug", "dilution-disagrees"],
    "drug-plain": ["different", "that a drug is plain", "agent-not-plain"],
    "drug-preservative-free": ["different", "that a drug is free of preservatives"],
    "drug-contraindication": ["text", "the contraindication of a drug", "condition-not-decided"],
    "drug-caution": ["text", "a caution of a drug"],
    "drug-source": ["text", "a source of a drug", "source-missing"],
  },
  dose: {
    "dose-removed": ["replaced", "a dose that is no longer there"],
    "dose-added": ["replaced", "a dose that is new"],
    "dose-drug": ["replaced", "the drug of a dose", "agent-not-for-ivra"],
    "dose-concentration": ["replaced", "the concentration of a dose", "concentration-not-usual"],
    "dose-amount": ["amount", "the amount of a dose", ...MAXIMA, "dose-without-cap"],
    "dose-rate": ["amount", "the rate of a dose", "rescue-dose-differs"],
    "dose-total": ["amount", "the most of a dose that is given in all", "cumulative-dose-over-maximum"],
    "dose-duration": ["giving", "the time over which a dose is given", "injection-too-fast"],
    "dose-repeats": ["giving", "how often a dose is given again", "cumulative-dose-over-maximum"],
    "dose-interval": ["gap", "the time between two givings of a dose"],
    "dose-repeat-condition": ["text", "the condition for repeating a dose"],
    "adjuvant-removed": ["replaced", "a drug that is no longer mixed into a dose"],
    "adjuvant-added": ["replaced", "a drug that is mixed into a dose now", "adjuvant-adds-little"],
    "adjuvant-amount": ["amount", "the amount of a drug that is mixed into a dose", ...MAXIMA],
  },
  cuffs: {
    "cuffs-stated": ["different", "whether the cuffs are stated at all", "statement-missing"],
    "cuff-count": ["replaced", "how many cuffs there are", "single-cuff-no-swap"],
    "cuff-label": ["text", "the label of a cuff"],
    "cuff-place": ["different", "where the cuffs sit"],
    "cuff-pressure": ["pressure", "the pressure that the cuffs are inflated to", "pressure-margin-too-small"],
    "cuff-ceiling": ["most", "the ceiling of the cuff pressure", "pressure-over-ceiling"],
    "cuff-fit": ["range", "the limbs that the cuffs fit", "cuff-does-not-fit"],
  },
  timer: {
    "timer-removed": ["demand", "a timer that is no longer there", "timer-claim-broken"],
    "timer-added": ["demand", "a timer that is new", "timer-never-starts"],
    "timer-start": ["replaced", "the moment from which a timer counts", "timer-never-starts"],
    "timer-minimum": ["least", "the least time of a timer", "early-release", "timer-claim-broken"],
    "timer-maximum": ["most", "the longest time of a timer", "occlusion-too-long", "timer-claim-broken"],
  },
  runs: {
    runs: ["runs", "the runs that the steps allow"],
    "release-time": ["gained", "the earliest or the latest release over all runs", "early-release"],
  },
  steps: {
    "step-removed": ["order", "a step that is no longer there"],
    "step-added": ["order", "a step that is new"],
    "step-moved": ["order", "the place of a step among the others"],
    "step-rounds": ["order", "how often a round of steps is done"],
    "step-time": ["run-most", "the time that a step takes"],
    "step-flat-time": ["run-most", "the time for which a deflation leaves a cuff flat", "unstaged-release"],
    "step-text": ["text", "the words of a task or a question"],
    "step-note": ["text", "the note of a step"],
    "step-role": ["text", "who does a step"],
    "step-topic": ["text", "what a task is about"],
    "answer-removed": [
      "order",
      "an answer to an event or a timer that is no longer there",
      "event-left-unhandled",
    ],
    "answer-added": ["order", "an answer to an event or a timer that is new"],
    "answer-count": ["order", "how often an event is answered"],
    "answer-not-before": ["run-least", "the time before which an event is not answered"],
    "answer-due": ["run-most", "the time at which an answer to a timer is due"],
  },
  emergency: {
    "emergency-removed": ["order", "an emergency that is no longer there", "no-toxicity-plan"],
    "emergency-added": ["order", "an emergency that is new"],
    "emergency-title": ["text", "the title of an emergency"],
  },
  readiness: {
    "readiness-item": [
      "demand",
      "something that has to be in place before the first step",
      "nothing-prepared",
    ],
    "readiness-staff": ["demand", "how many people are asked for"],
    "readiness-interval": ["demand", "how often a monitor is read"],
    "readiness-text": ["text", "a readiness item in words of the author's own"],
  },
  requirement: {
    "requirement-title": ["wording", "the title of a requirement whose meaning stays"],
    "requirement-changed": ["different", "what a requirement asks for", "requirement-broken"],
    "requirement-removed": ["different", "a requirement that is no longer there"],
    "requirement-added": ["different", "a requirement that is new", "requirement-broken"],
  },
  "local-rules": {
    "parameter-value": ["parameter", "the value of a parameter of the rules", "parameter-not-allowed"],
    "parameter-asked": ["text", "whether a parameter is asked for at all"],
    "parameter-reason": ["text", "the reason for the value of a parameter"],
    "acceptance-changed": ["text", "how a finding is accepted", "acceptance-expired"],
    "acceptance-removed": ["text", "a finding that is no longer accepted"],
    "acceptance-added": ["text", "a finding that is accepted now", "acceptance-unused"],
  },
  verdict: {
    "rule-answer": ["answer", "the answer of a rule"],
    "proof-assumption": ["different", "what the proofs lean on"],
    "rule-catalogue": ["catalogue", "the catalogue of rules that a version is judged by"],
    "rule-answer-of-then": ["recorded", "the answer of a rule, as a rule file records it"],
    "proof-assumption-of-then": ["recorded", "what a proof leans on, as a rule file records it"],
    "runs-of-then": ["recorded", "the runs that stand in a rule file"],
  },
  indication: {
    indication: ["text", "an indication"],
  },
  document: {
    "protocol-name": ["name", "the name of the protocol"],
    "protocol-title": ["wording", "the title of the protocol"],
    "protocol-hospital": ["wording", "the hospital"],
    "protocol-owner": ["wording", "the owner of the protocol"],
    "protocol-status": ["standing", "the status of the document", "approved-with-findings"],
    "protocol-review": ["standing", "the day of review", "review-overdue"],
    "part-renamed": ["wording", "the name of a cuff, a dose, a timer, a stage or an emergency"],
    "written-otherwise": ["wording", "how a whole section is written"],
    "not-told-apart": ["text", "a difference in a section that has no code of its own"],
  },
} as const satisfies Readonly<Record<string, Readonly<Record<string, Row>>>>;

/** The part of a protocol that changed. */
export type ChangedPart = keyof typeof PARTS;

type KeyOfEach<T> = T extends unknown ? keyof T : never;

/** What changed, by the name that programs ask for. */
export type ChangeCode = KeyOfEach<(typeof PARTS)[ChangedPart]>;

/** In the order in which changes are told. */
export const CHANGED_PARTS = Object.keys(PARTS) as readonly ChangedPart[];

/** One kind of change for whoever reads of it. */
export interface ListedChange {
  readonly code: ChangeCode;
  readonly part: ChangedPart;
  /** "The amount of a dose". */
  readonly title: string;
  /** What makes it looser, tighter or another kind, and the number of the version that it then asks for. */
  readonly kinds: readonly {
    readonly kind: ChangeKind;
    readonly when: string;
    readonly raises: RaisedNumber;
  }[];
  /** Rules of the catalogue that look at the same. */
  readonly near: readonly string[];
}

const ROWS: ReadonlyMap<ChangeCode, { readonly part: ChangedPart; readonly row: Row }> = new Map(
  CHANGED_PARTS.flatMap((part) =>
    Object.entries<Row>(PARTS[part]).map(([code, row]) => [code as ChangeCode, { part, row }]),
  ),
);

/** How a change of this code is measured, and the part of a protocol that it is told of. */
export function knownChange(code: ChangeCode): Measure & { readonly part: ChangedPart } {
  const known = ROWS.get(code);
  if (!known) throw new Error(`no change has the code ${code}`);
  return { part: known.part, ...MEASURES[known.row[0]] };
}

/** The number of the version that a change of a kind asks for. */
export function raisedBy({ isStanding, isOfFirstNumber }: Measure, kind: ChangeKind): RaisedNumber {
  if (isStanding) return "none";
  if (kind === "wording") return "third";
  return kind === "looser" || (kind === "different" && isOfFirstNumber) ? "first" : "second";
}

/** Every kind of change, in the order in which they are told. */
export const changeList: readonly ListedChange[] = [...ROWS].map(([code, { part, row }]) => {
  const [by, of, ...near] = row;
  const measure: Measure = MEASURES[by];
  const kinds = CHANGE_KINDS.flatMap((kind) => {
    const when = measure.kinds[kind];
    return when === undefined ? [] : [{ kind, when, raises: raisedBy(measure, kind) }];
  });
  return { code, part, title: `${of.charAt(0).toUpperCase()}${of.slice(1)}`, kinds, near };
});

/** What a change is, as a page of Markdown. */
export function changePage({ code, title, kinds, near }: ListedChange): string {
  const kindLine = ({ kind, when, raises }: ListedChange["kinds"][number]) =>
    `- *${kind.replaceAll("-", " ")}*: ${when} ${raises === "none" ? "No number of the version has to be raised." : `The ${raises} number of the version has to be raised.`}`;
  const parts = [
    `# ${code}`,
    `${title}: \`limb compare\` reports such a change under this code.`,
    "## What kind of change it is",
    kinds.map(kindLine).join("\n"),
    ...(kinds.length > 1
      ? [
          "Where several apply, the first one counts. They are never set off against one another, and each is shown.",
        ]
      : []),
    ...(near.length > 0
      ? ["## Rules about the same thing", `${near.map((rule) => `\`${rule}\``).join(", ")}.`]
      : []),
  ];
  return `${parts.join("\n\n")}\n`;
}
