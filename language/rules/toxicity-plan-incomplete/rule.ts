import { eachPlaceOnce, type Repair } from "@limbwright/shared/finding";
import { type Rational, secondsText } from "@limbwright/shared/quantity";
import { listText } from "@limbwright/shared/text";
import { holdsSteps, LEAVING, type Protocol, type TaskTopic } from "../../model/index.ts";
import { lineAfter, linesBefore, needsALook } from "../../model/text-changes.ts";
import type { Rule, RuleContext } from "../engine/definition.ts";
import { combine, type Detected, found, HOLDS, type Judgement, undecided } from "../engine/judgement.ts";
import {
  isInfusion,
  lipidDosesOfAnswer,
  type ToxicityAnswer,
  toxicityAnswers,
} from "../facts/emergencies-reached.ts";
import { cuffDecisions } from "./cuff-decisions.ts";

export const rule: Rule = { judge };

function judge(context: RuleContext): Judgement {
  const answers = toxicityAnswers(context.protocol);
  if (answers.length === 0) {
    return undecided("nothing leads from signs of toxicity to an emergency that could be judged");
  }
  const judged = combine(answers.map((answer) => judgeAnswer(answer, context)));
  // Several answers may lead to one emergency.
  return { ...judged, found: eachPlaceOnce(judged.found, ({ what }) => what) };
}

function judgeAnswer(answer: ToxicityAnswer, context: RuleContext): Judgement {
  const { protocol } = context;
  const missing = [...missingLipid(protocol, answer), ...missingTasks(answer)];
  const decisions = cuffDecisions(answer, protocol, context.parameter("decide-within").value);
  if (missing.length === 0) return decisions.length > 0 ? found(...decisions) : HOLDS;
  if (protocol.incomplete) {
    const { origin } = answer.emergency ?? answer.handler;
    return undecided("part of the emergency may not have been understood", origin);
  }
  return found(tellMissing(answer, missing), ...decisions);
}

function tellMissing(answer: ToxicityAnswer, missing: readonly Missing[]): Detected {
  const { handler, emergency } = answer;
  const lacking = missing.map(({ what }) => what).join("; ");
  return {
    origin: emergency?.nameOrigin ?? handler.origin,
    severity: missing.some(({ severity }) => severity === "unsafe") ? "unsafe" : "doubtful",
    what: emergency
      ? `The emergency \`${emergency.name}\`, to which signs of toxicity lead, lacks ${lacking}.`
      : `The answer to signs of toxicity treats in place, and lacks ${lacking}.`,
    label: missing.length === 1 ? "1 thing is missing" : `${missing.length} things are missing`,
    next: `Add ${missing.map(({ line }) => line).join(", ")}.`,
    repairs: withTasks(answer, missing),
  };
}

interface Missing {
  readonly what: string;
  readonly line: string;
  readonly severity: "unsafe" | "doubtful";
  /** The task that would say it; undefined for what takes more than one line. */
  readonly task?: string;
  /** Whether that comes behind all else: nobody decides on the cuff before the lipid is given. */
  readonly isLast?: boolean;
}

/** Only tasks are missing: what a lipid dose gives is for pharmacy to write. */
function withTasks({ emergency, handler }: ToxicityAnswer, missing: readonly Missing[]): Repair[] {
  const { steps } = emergency ?? handler;
  const [first, last] = [steps[0], steps.at(-1)];
  if (!first || !last || missing.some(({ task }) => task === undefined)) return [];
  const tasks = (isLast: boolean) =>
    missing.filter((one) => (one.isLast ?? false) === isLast).flatMap(({ task }) => task ?? []);
  const [before, after] = [tasks(false), tasks(true)];
  if (after.length > 0 && (holdsSteps(last) || LEAVING.has(last.kind))) return [];
  return needsALook(
    `Write ${listText([...before, ...after])}`,
    ...(before.length > 0 ? [linesBefore(first.origin, before)] : []),
    ...after.map((task) => lineAfter(last.origin, task)),
  );
}

function missingLipid(protocol: Protocol, answer: ToxicityAnswer): Missing[] {
  const doses = lipidDosesOfAnswer(protocol, answer);
  const missing: Missing[] = [];
  if (!doses.some((dose) => !isInfusion(dose))) {
    // A bolus that takes as long as an infusion is there, and is none.
    const slow = doses.length > 1 ? doses.find(({ rate }) => !rate) : undefined;
    missing.push(
      slow?.over
        ? tooSlow(slow.name, slow.over.shortest)
        : {
            what: "a bolus of lipid emulsion",
            line: "`dose lipid-bolus of lipid-emulsion { … }` and `give lipid-bolus`",
            severity: "unsafe",
          },
    );
  }
  if (!doses.some(isInfusion)) {
    missing.push({
      what: "an infusion of lipid emulsion",
      line: "`dose lipid-infusion of lipid-emulsion { … }` and `give lipid-infusion`",
      severity: "unsafe",
    });
  }
  return missing;
}

function tooSlow(name: string, over: Rational): Missing {
  return {
    what: `a bolus of lipid emulsion: \`${name}\` takes ${secondsText(over.valueOf())}, as an infusion does`,
    line: `\`over 1 min\` to \`${name}\`, or another published time`,
    severity: "unsafe",
  };
}

interface AskedTask {
  readonly topic: TaskTopic;
  readonly what: string;
  readonly text: string;
  readonly severity: Missing["severity"];
  readonly isLast?: true;
}

const TASKS: readonly AskedTask[] = [
  { topic: "help", what: "a call for help", text: '"Call for help"', severity: "unsafe" },
  { topic: "oxygen", what: "oxygen and the airway", text: '"Oxygen, airway"', severity: "unsafe" },
  {
    topic: "seizure",
    what: "what is done about a seizure",
    text: '"Fitting: stop the seizure"',
    severity: "doubtful",
  },
  {
    topic: "arrest",
    what: "what is done in an arrest",
    text: '"No pulse: resuscitate; it may take over an hour"',
    severity: "doubtful",
  },
  {
    topic: "cuff-decision",
    what: "who decides on the cuff",
    text: '"Cuff release is decided by the anaesthetist in charge" takes 10 s to 5 min',
    severity: "unsafe",
    isLast: true,
  },
];

function missingTasks({ steps }: ToxicityAnswer): Missing[] {
  const topics = new Set(steps.flatMap((step) => (step.kind === "task" ? [step.topic] : [])));
  return TASKS.filter(({ topic }) => !topics.has(topic)).map(({ topic, what, text, severity, isLast }) => ({
    what,
    line: `\`task ${topic} "…"\``,
    severity,
    task: `task ${topic} ${text}`,
    ...(isLast && { isLast }),
  }));
}
