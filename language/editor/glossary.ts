/** What the words of the language mean in the trade, each in a sentence or two. Definitions; no values to be used on a patient. */
export const GLOSSARY: Readonly<Record<string, string>> = {
  accept:
    "The hospital accepts a finding of a rule, with a reason, the role that decides, and the last day it holds; what is unsafe by its own name (`of …`) and by two roles. `up to` a value it covers no more than that, in one protocol, and every other limit counts on. It is still printed.",
  agent:
    "A drug of the hospital's formulary: what is in the syringe, and the most that may be given in one run.",
  allergy: "Allergy to a local anaesthetic of the amide group.",
  allowed: "A condition under which the protocol may be used, with the reason why.",
  amount: "How much is given: a mass, a volume, one per body weight, or a table by bands.",
  apply: "`apply cuffs`: the cuffs are laid over padding on the limb, still flat.",
  answer:
    "`answer maximum of`: local rules give the published maximum of a drug that the rules do not know, with its source, a reason, the role that answers for it and the last day it holds. Never for a local anaesthetic; it is counted apart from what is proven. In a scenario, a question is answered.",
  ask: "A question that is answered yes or no; either may happen, and both are proven.",
  bandage: "An elastic bandage that empties the limb of blood before the cuff goes up (exsanguination).",
  ceiling: "The highest pressure to which a cuff may be inflated.",
  circumference: "Around the limb where the cuff sits; it decides which cuff fits.",
  syringe:
    "What a dose is drawn up in, by what it holds and how far its marks are apart: nobody draws up between two marks.",
  concentration: "What is in the syringe: 1 % is weight in volume, 10 mg/mL.",
  confirm:
    "The cuff is felt firm, its gauge is on target and holding. What was confirmed is lost when the cuff goes flat.",
  contraindicated: "A condition under which the protocol is not used.",
  "cardiac-arrest": "The heart stands still, or does not pump: no pulse at the neck.",
  caution: "A condition that is weighed before the protocol is used.",
  cuffs: "The tourniquet: one cuff, or two beside each other, the proximal one (nearer to the trunk) first.",
  "cuff-leak": "A cuff loses pressure by itself and is flat.",
  deflate:
    "A cuff is let down. The release is the first moment after the injection with no cuff up. `for emergency`: to save limb or life, whatever the time.",
  do: "Does the steps of a routine here.",
  dose: "One dose of one drug: how much, over what time, at most how much.",
  elevation: "The limb is held up until it is emptied of blood, without a bandage.",
  emergency:
    "What is done when something has gone wrong, with its own doses. It ends the run, and says who decides on the cuff.",
  exsanguinate: "The limb is emptied of blood before the cuff goes up, so that the drug fills it evenly.",
  finish: "The run ends here.",
  fits: "The limb circumferences for which a cuff is made.",
  give: "A dose into the circulation; a local anaesthetic only `as infiltration` or `as nerve-block`. It counts towards the drug's maxima.",
  hypertension: "High blood pressure: the cuff would have to be inflated beyond its ceiling to hold.",
  inflate: "A cuff is inflated to its target pressure; it is up at the end of the step.",
  inject:
    "The local anaesthetic is injected into the limb behind the cuff; it is in the limb from the start of the step.",
  indication: "For what the protocol is meant; printed, and judged by no rule.",
  kg: "Kilogram: body weight.",
  "limb-at-risk":
    "The limb is in danger while the cuff is up: pale, cold or tense, or occluded for too long.",
  maximum: "The most that may be given in one run, for both sides together.",
  mL: "Millilitre: a volume.",
  mcg: "Microgram: a thousandth of a milligram.",
  mg: "Milligram: a mass.",
  "mg/kg": "Milligram for each kilogram of body weight.",
  "mL/kg": "Millilitre for each kilogram of body weight.",
  mmHg: "Millimetre of mercury: a pressure.",
  monitoring: "What is measured while the block lasts, and how often blood pressure is.",
  "occlusion-pressure":
    "The pressure at which the limb's arteries are closed, from the hospital's own table by circumference.",
  over: "How long a dose is given: faster is not done, slower not either.",
  patients: "Whom the protocol covers. Every dose and pressure is judged for each of them.",
  "patient-distress": "The patient wants the procedure to stop.",
  plain: "Without adrenaline or another vasoconstrictor.",
  prepare: "What is in place before the first step.",
  "preservative-free": "Without a preservative in the solution.",
  pressure: "The target pressure of the cuffs, as a function of the patient.",
  rate: "How fast an infusion runs; it goes on beside the steps, up to its total.",
  recovery: "After the release the patient is watched for this long.",
  repeat: "In a dose: how often it is given again after the first. In steps: how often they are done in all.",
  require: "A property of the hospital's own that is proven for every run.",
  routine: "Steps with a name, used in several places by `do`.",
  "sickle-cell": "Sickle cell disease or trait: a tourniquet may set off a crisis in the limb.",
  staff: "How many people are present throughout.",
  stage: "A part of the steps that events can interrupt, and that `end stage` ends.",
  steps: "What the team does, in order.",
  "surgery-done": "The procedure has ended.",
  systolic: "The patient's systolic blood pressure.",
  "systolic-rises": "The systolic pressure rises towards that of the cuff, which may then no longer hold.",
  task: "A line of the checklist that only people can do; untimed, it may take any time.",
  throughout:
    "What is done when something happens, at any moment from the first inflation to the end of recovery.",
  timer:
    "A clock. `at least` is a claim about the release, `at most` about the last deflation; both are proven for every run.",
  total:
    "How much of its drug the whole run has had, boluses included, when an infusion stops. It limits no fixed amount.",
  "tourniquet-pain":
    "The patient feels the cuff; with two cuffs, the one over skin that is numb by then takes over.",
  "toxicity-signs":
    "Signs that local anaesthetic has reached the circulation: round the mouth, ears, brain, heart.",
  "vascular-disease": "Severe disease of the limb's arteries.",
  version:
    "Three numbers. The first is raised when something gets looser, or for another drug or order; the second when tighter or different; the third for wording.",
  wait: "Waits a time, or for a timer until its `at least` has passed.",
  watch: "Watching the patient for signs of toxicity.",
  when: "What is done when an event happens, or as soon as a timer reaches a time.",
};
