/** A statement that can stand in a block, as a template with places to fill in (`${1:words}`). */
export interface StatementTemplate {
  readonly word: string;
  readonly says: string;
  readonly template: string;
}

function statement(word: string, says: string, template = word): StatementTemplate {
  return { word, says, template };
}

const STEPS: readonly StatementTemplate[] = [
  statement("apply cuffs", "cuffs on the limb, flat"),
  statement("insert cannula", "a cannula into the limb"),
  statement("remove cannula", "the cannula out"),
  statement("exsanguinate by bandage", "the limb emptied by a bandage"),
  statement(
    "exsanguinate by elevation",
    "the limb emptied by holding it up",
    "exsanguinate by elevation ${1:1 min}",
  ),
  statement("remove bandage", "the bandage off"),
  statement("inflate", "a cuff up", "inflate ${1:all}"),
  statement("deflate", "a cuff flat", "deflate ${1:all}"),
  statement("deflate all for", "all flat for a moment, then up again", "deflate all for ${1:10 s}"),
  statement("confirm", "a cuff felt firm and holding", "confirm ${1:all}"),
  statement("confirm no pulse", "no pulse beyond the cuff"),
  statement("inject", "a dose into the limb", "inject ${1:local}"),
  statement("give", "a dose into the circulation", "give ${1:lipid-bolus}"),
  statement("wait for", "until a timer has reached its least", "wait for ${1:hold}"),
  statement("wait", "a time", "wait ${1:5 min}"),
  statement("watch", "for signs of toxicity", "watch ${1:1 min}"),
  statement("recovery", "watched after the release", "recovery ${1:30 min}"),
  statement("task", "a line of the checklist", 'task "${1:What is done}"'),
  statement("stage", "steps that events can interrupt", "stage ${1:procedure} {\n  $0\n}"),
  statement("when", "what is done when something happens", "when ${1:tourniquet-pain} {\n  $0\n}"),
  statement(
    "ask",
    "a question, yes or no",
    'ask "${1:Question?}" {\n  yes {\n    ${2:finish}\n  }\n  no {\n    ${3:finish}\n  }\n}',
  ),
  statement("repeat", "steps several times", "repeat ${1:2} times {\n  $0\n}"),
  statement("do", "the steps of a routine", "do ${1:staged-release}"),
  statement("end stage", "leaves the stage"),
  statement("go to emergency", "ends the run in an emergency", "go to emergency ${1:toxicity}"),
  statement("finish", "the run ends"),
];

/** Statements that only stand in a stage. */
const IN_STAGES = ["when", "end stage"];

const ROUTINE = statement("routine", "steps used in several places", "routine ${1:name} {\n  $0\n}");
const DOSE = statement(
  "dose",
  "one dose of one drug",
  "dose ${1:local} of ${2:lidocaine} {\n  amount ${3:3 mg/kg} up to ${4:200 mg}\n  over   ${5:90 s to 3 min}\n}",
);

/** The statements of each block, by the word that opens it; "" is the level of the file. */
export const STATEMENTS: Readonly<Record<string, readonly StatementTemplate[]>> = {
  "": [
    statement("use", "what another file declares", 'use "${1:formulary.limb}"'),
    statement(
      "protocol",
      "one protocol",
      'protocol ${1:name} "${2:Title}" {\n  version ${3:0.1.0}\n  status  draft\n  $0\n}',
    ),
    statement(
      "agent",
      "a drug",
      'agent ${1:lidocaine} {\n  kind          ${2:local-anaesthetic}\n  concentration ${3:0.5 %}\n  maximum       ${4:3 mg/kg}\n  source        "${5:Where the maximum comes from}"\n}',
    ),
    ROUTINE,
    statement("event", "an event of the hospital's own", 'event ${1:name} "${2:What it means}"'),
    statement("local-rules", "the hospital's own values", "local-rules ${1:our-hospital} {\n  $0\n}"),
    statement(
      "scenario",
      "a worked case",
      'scenario "${1:Title}" for ${2:wrist-reduction} {\n  patient weight ${3:70 kg}\n  $0\n}',
    ),
  ],
  protocol: [
    statement("version", "three numbers", "version ${1:0.1.0}"),
    statement("hospital", "printed", 'hospital "${1:Name}"'),
    statement("owner", "the role that keeps it", 'owner "${1:Role}"'),
    statement("status", "where it stands", "status ${1:draft}"),
    statement("review by", "the day it is looked at again", "review by ${1:2027-06-30}"),
    statement("local-rules", "the hospital's values it is judged by", "local-rules ${1:name}"),
    statement("indication", "for what it is meant", 'indication "${1:For what}"'),
    statement(
      "patients",
      "whom it covers",
      "patients {\n  age      ${1:16 to 85 years}\n  weight   ${2:45 to 130 kg}\n  systolic ${3:90 to 180 mmHg}\n}",
    ),
    statement(
      "cuffs",
      "the tourniquet",
      'cuffs ${1:proximal} "${2:label}", ${3:distal} "${4:label}" on ${5:upper-arm} {\n  pressure ${6:systolic + 100 mmHg}\n  ceiling  ${7:300 mmHg}\n}',
    ),
    DOSE,
    statement(
      "timer",
      "a clock with what is claimed of it",
      "timer ${1:hold} from end of ${2:local} {\n  at least ${3:30 min}\n}",
    ),
    statement(
      "prepare",
      "what is in place before",
      "prepare {\n  iv-access  other-limb\n  monitoring ecg, spo2, nibp every 5 min\n  staff      2\n  site-marked\n}",
    ),
    statement("steps", "what is done, in order", "steps {\n  $0\n}"),
    statement(
      "throughout",
      "what is done at any moment",
      "throughout {\n  when ${1:toxicity-signs} {\n    $0\n  }\n}",
    ),
    statement(
      "emergency",
      "when something has gone wrong",
      'emergency ${1:toxicity} "${2:Title}" {\n  task help "${3:Stop. Call for help.}"\n  task oxygen "${4:Oxygen, airway}"\n  task cuff-decision "${5:Who decides on the cuff}"\n}',
    ),
    statement(
      "require",
      "a property of the hospital's own",
      'require "${1:What must be so}" {\n  ${2:inject local only when proximal confirmed}\n}',
    ),
    ROUTINE,
  ],
  patients: [
    statement("age", "from, to", "age ${1:16 to 85 years}"),
    statement("weight", "from, to", "weight ${1:45 to 130 kg}"),
    statement("systolic", "from, to", "systolic ${1:90 to 180 mmHg}"),
    statement("circumference", "from, to", "circumference ${1:25 to 40 cm}"),
    statement("contraindicated", "not for these patients", 'contraindicated ${1:allergy} "${2:In words}"'),
    statement("caution", "weighed before", 'caution ${1:raynaud} "${2:In words}"'),
    statement(
      "allowed",
      "with the reason",
      'allowed ${1:hypertension} "${2:In words}" because "${3:Reason}"',
    ),
  ],
  cuffs: [
    statement("pressure", "what the cuffs are inflated to", "pressure ${1:systolic + 100 mmHg}"),
    statement("ceiling", "never more", "ceiling ${1:300 mmHg}"),
    statement("fits", "limb circumferences", "fits ${1:25 to 40 cm}"),
    statement(
      "occlusion by circumference",
      "the hospital's table",
      "occlusion by circumference {\n  ${1:25 cm to 40 cm} ${2:150 mmHg}\n}",
    ),
  ],
  dose: [
    statement("amount", "how much", "amount ${1:3 mg/kg} up to ${2:200 mg}"),
    statement(
      "amount by weight",
      "a table",
      "amount by weight {\n  ${1:45 kg to under 60 kg} ${2:30 mL}\n  ${3:60 kg and over} ${4:40 mL}\n}",
    ),
    statement("over", "how long it is given", "over ${1:90 s to 3 min}"),
    statement("repeat", "again after the first", "repeat ${1:2} times every ${2:5 min}"),
    statement("rate", "an infusion", "rate ${1:15 mL/kg/h}"),
    statement("total up to", "all of the drug in the run", "total up to ${1:12 mL/kg}"),
    statement("with", "mixed in", "with ${1:ketorolac} ${2:1 mg}"),
  ],
  timer: [
    statement("at least", "at the release", "at least ${1:30 min}"),
    statement("at most", "at the last deflation", "at most ${1:60 min}"),
  ],
  prepare: [
    statement("iv-access", "where the second access is", "iv-access ${1:other-limb}"),
    statement("monitoring", "what is measured", "monitoring ${1:ecg, spo2, nibp} every ${2:5 min}"),
    statement("at-hand", "rescue drugs", "at-hand ${1:lipid-emulsion}"),
    statement("staff", "how many", "staff ${1:2}"),
    statement("site-marked", "the side is marked"),
  ],
  agent: [
    statement("kind", "what it is for", "kind ${1:local-anaesthetic}"),
    statement("atc", "its ATC code", 'atc "${1:N01BB02}"'),
    statement("concentration", "in the syringe", "concentration ${1:0.5 %}"),
    statement("supplied as", "the ampoule", "supplied as ${1:1 %} in ${2:20 mL}"),
    statement("diluted with", "the diluent", 'diluted with "${1:saline 0.9 %}"'),
    statement("plain", "without adrenaline"),
    statement("preservative-free", "without preservative"),
    statement("maximum", "the most in one run", "maximum ${1:3 mg/kg}"),
    statement("contraindicated", "not for the block", 'contraindicated "${1:Why}"'),
    statement("caution", "printed", 'caution "${1:What}"'),
    statement("source", "where the maxima come from", 'source "${1:Label or handbook}"'),
  ],
  "local-rules": [
    statement("set", "a rule's value", "set ${1:recovery-too-short.minimum} ${2:45 min}"),
    statement(
      "accept",
      "a finding, with a reason",
      'accept ${1:recovery-too-short} in ${2:wrist-reduction}\n  because "${3:Reason}" by "${4:Role}" until ${5:2027-01-31}',
    ),
  ],
  scenario: [
    statement("patient", "whom it is about", "patient weight ${1:70 kg}"),
    statement("run to", "up to a moment", "run to end of ${1:local}"),
    statement("after", "counted from the last `run to`", "after ${1:12 min} ${2:event surgery-done happens}"),
    statement("task", "a task ends", 'task "${1:Words}" ends'),
    statement("event", "something happens", "event ${1:tourniquet-pain} happens"),
    statement("expect", "what has to be so", "expect ${1:deflate all} ${2:allowed}"),
  ],
  throughout: [
    statement("when", "what is done when something happens", "when ${1:toxicity-signs} {\n  $0\n}"),
  ],
  emergency: [DOSE, ...STEPS.filter(({ word }) => !IN_STAGES.includes(word))],
  ask: [statement("yes", "then", "yes {\n  $0\n}"), statement("no", "else", "no {\n  $0\n}")],
  bands: [],
  require: [],
};

/** The blocks that hold steps. */
export function statementsIn(block: string): readonly StatementTemplate[] {
  return STATEMENTS[block] ?? STEPS;
}
