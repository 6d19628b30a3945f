import type { Step } from "../model/index.ts";

/** A statement that can stand in a block, as a template with places to fill in (`${1:words}`). */
export interface StatementTemplate {
  readonly word: string;
  readonly says: string;
  readonly template: string;
}

/** `rest` is what stands after the first words. */
function statement(word: string, says: string, rest = ""): StatementTemplate {
  return { word, says, template: `${word} ${rest}`.trimEnd() };
}

/** The statements of each kind of step, in the order in which they are offered: a kind without one is refused by the compiler. */
const STEPS_BY_KIND: Readonly<Record<Step["kind"] | "when", readonly StatementTemplate[]>> = {
  "apply-cuffs": [statement("apply cuffs", "cuffs on the limb, flat")],
  "insert-cannula": [statement("insert cannula", "a cannula into the limb")],
  "remove-cannula": [statement("remove cannula", "the cannula out")],
  exsanguinate: [
    statement("exsanguinate by bandage", "the limb emptied by a bandage"),
    statement("exsanguinate by elevation", "the limb emptied by holding it up", "${1:1 min}"),
  ],
  "remove-bandage": [statement("remove bandage", "the bandage off")],
  inflate: [statement("inflate", "a cuff up", "${1:all}")],
  deflate: [
    statement("deflate", "a cuff flat", "${1:all}"),
    statement("deflate all for", "all flat for a moment, then up again", "${1:10 s}"),
    statement(
      "deflate all for emergency",
      "to save limb or life, in an emergency",
      '"${1:Limb at risk}" by "${2:anaesthetist in charge}"',
    ),
  ],
  confirm: [statement("confirm", "a cuff felt firm and holding", "${1:all}")],
  "confirm-no-pulse": [statement("confirm no pulse", "no pulse beyond the cuff")],
  inject: [statement("inject", "a dose into the limb", "${1:local}")],
  give: [
    statement("give", "a dose into the circulation", "${1:lipid-bolus}"),
    statement(
      "give",
      "a local anaesthetic into the tissues, counted with the block",
      "${1:local} as ${2:infiltration}",
    ),
  ],
  "wait-for": [statement("wait for", "until a timer has reached its least", "${1:hold}")],
  wait: [statement("wait", "a time", "${1:5 min}")],
  watch: [statement("watch", "for signs of toxicity", "${1:1 min}")],
  recovery: [statement("recovery", "watched after the release", "${1:30 min}")],
  task: [statement("task", "a line of the checklist", '"${1:What is done}"')],
  stage: [statement("stage", "steps that events can interrupt", "${1:procedure} {\n  $0\n}")],
  when: [statement("when", "what is done when something happens", "${1:tourniquet-pain} {\n  $0\n}")],
  ask: [
    statement(
      "ask",
      "a question, yes or no",
      '"${1:Question?}" {\n  yes {\n    ${2:finish}\n  }\n  no {\n    ${3:finish}\n  }\n}',
    ),
  ],
  repeat: [statement("repeat", "steps several times", "${1:2} times {\n  $0\n}")],
  do: [statement("do", "the steps of a routine", "${1:staged-release}")],
  "end-stage": [statement("end stage", "leaves the stage")],
  "go-to-emergency": [statement("go to emergency", "ends the run in an emergency", "${1:toxicity}")],
  finish: [statement("finish", "the run ends")],
};

const STEPS = Object.values(STEPS_BY_KIND).flat();

/** What a step begins with that goes on with a time. */
export const BEFORE_TIMES = STEPS.filter(({ template }) => /\$\{1:\d+ (?:s|min|h)\}$/.test(template)).map(
  ({ word }) => word,
);

/** Statements that only stand in a stage. */
const IN_STAGES = ["when", "end stage"];

const ROUTINE = statement("routine", "steps used in several places", "${1:name} {\n  $0\n}");
const SYRINGE = statement("syringe", "what it is drawn up in", "${1:1 mL} marked every ${2:0.01 mL}");

const DOSE = statement(
  "dose",
  "one dose of one drug",
  "${1:local} of ${2:lidocaine} {\n  amount ${3:3 mg/kg} up to ${4:200 mg}\n  over   ${5:90 s to 3 min}\n}",
);

/** The statements of each block, by the word that opens it; "" is the level of the file. */
export const STATEMENTS: Readonly<Record<string, readonly StatementTemplate[]>> = {
  "": [
    statement("use", "what another file declares", '"${1:formulary.limb}"'),
    statement(
      "protocol",
      "one protocol",
      '${1:name} "${2:Title}" {\n  version ${3:0.1.0}\n  status  draft\n  $0\n}',
    ),
    statement(
      "agent",
      "a drug",
      '${1:lidocaine} {\n  kind          ${2:local-anaesthetic}\n  concentration ${3:0.5 %}\n  maximum       ${4:3 mg/kg}\n  source        "${5:Where the maximum comes from}"\n}',
    ),
    ROUTINE,
    statement("event", "an event of the hospital's own", '${1:name} "${2:What it means}"'),
    statement("local-rules", "the hospital's own values", "${1:our-hospital} {\n  $0\n}"),
    statement(
      "scenario",
      "a worked case",
      '"${1:Title}" for ${2:wrist-reduction} {\n  patient weight ${3:70 kg}\n  $0\n}',
    ),
  ],
  protocol: [
    statement("version", "three numbers", "${1:0.1.0}"),
    statement("hospital", "printed", '"${1:Name}"'),
    statement("owner", "the role that keeps it", '"${1:Role}"'),
    statement("status", "where it stands", "${1:draft}"),
    statement("review by", "the day it is looked at again", "${1:2027-06-30}"),
    statement("local-rules", "the hospital's values it is judged by", "${1:name}"),
    statement("indication", "for what it is meant", '"${1:For what}"'),
    statement(
      "patients",
      "whom it covers",
      "{\n  age      ${1:16 to 85 years}\n  weight   ${2:45 to 130 kg}\n  systolic ${3:90 to 180 mmHg}\n}",
    ),
    statement(
      "cuffs",
      "the tourniquet",
      '${1:proximal} "${2:label}", ${3:distal} "${4:label}" on ${5:upper-arm} {\n  pressure ${6:systolic + 100 mmHg}\n  ceiling  ${7:300 mmHg}\n}',
    ),
    DOSE,
    statement(
      "timer",
      "a clock with what is claimed of it",
      "${1:hold} from end of ${2:local} {\n  at least ${3:30 min}\n}",
    ),
    statement(
      "prepare",
      "what is in place before",
      "{\n  iv-access  other-limb\n  monitoring ecg, spo2, nibp every 5 min\n  staff      2\n  site-marked\n}",
    ),
    statement("steps", "what is done, in order", "{\n  $0\n}"),
    statement("throughout", "what is done at any moment", "{\n  when ${1:toxicity-signs} {\n    $0\n  }\n}"),
    statement(
      "emergency",
      "when something has gone wrong",
      '${1:toxicity} "${2:Title}" {\n  task help "${3:Stop. Call for help.}"\n  task oxygen "${4:Oxygen, airway}"\n  task seizure "${5:What stops a seizure}"\n  task arrest "${6:What is done in an arrest}"\n  task cuff-decision "${7:Who decides on the cuff}" takes 10 s to 5 min\n}',
    ),
    statement(
      "require",
      "a property of the hospital's own",
      '"${1:What must be so}" {\n  ${2:inject local only when proximal confirmed}\n}',
    ),
    ROUTINE,
  ],
  patients: [
    statement("age", "from, to", "${1:16 to 85 years}"),
    statement("weight", "from, to", "${1:45 to 130 kg}"),
    statement("systolic", "from, to", "${1:90 to 180 mmHg}"),
    statement("circumference", "from, to", "${1:25 to 40 cm}"),
    statement("contraindicated", "not for these patients", '${1:allergy} "${2:In words}"'),
    statement("caution", "weighed before", '${1:raynaud} "${2:In words}"'),
    statement("allowed", "with the reason", '${1:hypertension} "${2:In words}" because "${3:Reason}"'),
  ],
  cuffs: [
    statement("pressure", "what the cuffs are inflated to", "${1:systolic + 100 mmHg}"),
    statement("ceiling", "never more", "${1:300 mmHg}"),
    statement("fits", "limb circumferences", "${1:25 to 40 cm}"),
    statement(
      "occlusion by circumference",
      "the hospital's table",
      "{\n  ${1:25 cm to 40 cm} ${2:150 mmHg}\n}",
    ),
  ],
  dose: [
    statement("amount", "how much", "${1:3 mg/kg} up to ${2:200 mg}"),
    statement(
      "amount by weight",
      "a table",
      "{\n  ${1:45 kg to under 60 kg} ${2:30 mL}\n  ${3:60 kg and over} ${4:40 mL}\n}",
    ),
    statement("over", "how long it is given", "${1:90 s to 3 min}"),
    statement("repeat", "again after the first", "${1:2} times every ${2:5 min}"),
    statement("rate", "an infusion", "${1:15 mL/kg/h}"),
    statement("total up to", "all of the drug in the run, where an infusion stops", "${1:12 mL/kg}"),
    statement("with", "mixed in", "${1:ketorolac} ${2:1 mg}"),
    SYRINGE,
  ],
  timer: [
    statement("at least", "at the release", "${1:30 min}"),
    statement("at most", "at the last deflation", "${1:60 min}"),
  ],
  prepare: [
    statement("iv-access", "where the second access is", "${1:other-limb}"),
    statement("monitoring", "what is measured", "${1:ecg, spo2, nibp} every ${2:5 min}"),
    statement("at-hand", "rescue drugs", "${1:lipid-emulsion}"),
    statement("staff", "how many", "${1:2}"),
    statement("site-marked", "the side is marked"),
  ],
  agent: [
    statement("kind", "what it is for", "${1:local-anaesthetic}"),
    statement("atc", "its ATC code", '"${1:N01BB02}"'),
    statement("concentration", "in the syringe", "${1:0.5 %}"),
    statement("supplied as", "the ampoule", "${1:1 %} in ${2:20 mL}"),
    statement("diluted with", "the diluent", '"${1:saline 0.9 %}"'),
    SYRINGE,
    statement("plain", "without adrenaline"),
    statement("preservative-free", "without preservative"),
    statement("maximum", "the most in one run", "${1:3 mg/kg}"),
    statement("contraindicated", "not for the block", '"${1:Why}"'),
    statement("caution", "printed", '"${1:What}"'),
    statement("source", "where the maxima come from", '"${1:Label or handbook}"'),
  ],
  "local-rules": [
    statement("set", "a rule's value", "${1:recovery-too-short.minimum} ${2:45 min}"),
    statement(
      "accept",
      "a finding, with a reason",
      '${1:recovery-too-short} in ${2:wrist-reduction}\n  because "${3:Reason}" by "${4:Role}" until ${5:2027-01-31}',
    ),
    statement(
      "accept",
      "what is unsafe, up to a value",
      '${1:dose-over-maximum} of ${2:local} in ${3:wrist-reduction} up to ${4:3.5 mg/kg}\n  because "${5:Reason}" by "${6:Role}" by "${7:Second role}" until ${8:2027-01-31}',
    ),
    statement(
      "answer",
      "a maximum that no rule knows",
      'maximum of ${1:ketorolac} ${2:30 mg}\n  source "${3:Where it is published}" because "${4:Reason}" by "${5:Role}" until ${6:2027-01-31}',
    ),
  ],
  scenario: [
    statement("patient", "whom it is about", "weight ${1:70 kg}"),
    statement("run to", "up to a moment", "end of ${1:local}"),
    statement("after", "counted from the last `run to`", "${1:12 min} ${2:event surgery-done happens}"),
    statement("task", "a task ends", '"${1:Words}" ends'),
    statement("event", "something happens", "${1:tourniquet-pain} happens"),
    statement("expect", "what has to be so", "${1:deflate all} ${2:allowed}"),
  ],
  throughout: [statement("when", "what is done when something happens", "${1:toxicity-signs} {\n  $0\n}")],
  emergency: [DOSE, ...STEPS.filter(({ word }) => !IN_STAGES.includes(word))],
  ask: [statement("yes", "then", "{\n  $0\n}"), statement("no", "else", "{\n  $0\n}")],
  bands: [],
  require: [],
};

/** The blocks that hold steps. */
export function statementsIn(block: string): readonly StatementTemplate[] {
  return STATEMENTS[block] ?? STEPS;
}
