import { type Random, randomFrom } from "./random.ts";

/** The text of a small protocol that could have been meant: a sound skeleton with slips in it. All times are a few seconds. */
export function randomProtocol(seed: number): string {
  const random = randomFrom(seed);
  const few = (most: number) => 1 + random.below(most);
  const maybe = (text: string, oneIn = 2) => (random.oneIn(oneIn) ? text : "");
  const cuffs = random.oneIn(3) ? ["proximal"] : ["proximal", "distal"];
  const names = naming();
  const parts: Parts = { random, few, maybe, cuffs, task: () => names("t"), hasInner: random.oneIn(3) };
  const plan = withSlips(skeleton(parts), random);
  return `protocol small "Small" {
  steps {
${plan.join("\n")}
  }
  timer hold from end of local {
    at least ${few(6)} s
    ${maybe(`at most ${5 + few(6)} s`)}
  }
  ${maybe(`timer cuff-time from first inflation {\n at least ${few(4)} s\n at most ${4 + few(8)} s\n }`, 3)}
  ${parts.hasInner ? maybe(`timer past from end of inner {\n at least ${few(4)} s\n }`) : ""}
  throughout {
    ${answerToToxicity(parts)}
    ${maybe("when limb-at-risk {\ngo to emergency rescue\n}", 3)}
    ${maybe(answersToLeak(parts).join("\n"))}
    ${maybe(`when rain once {\n wait ${few(3)} s\n }`, 3)}
    ${maybe(`when systolic-rises {\n${maybe("wait 1 s\n")}go to emergency ${random.pick(["flood", "flood", "toxicity", "rescue"])}\n }`, 3)}
    ${maybe(`when hold reaches ${2 + few(6)} s {\n go to emergency toxicity\n }`, 6)}
    ${maybe(`when hold reaches ${2 + few(6)} s {\n wait ${few(2)} s\n }`, 6)}
  }
  emergency toxicity "Toxicity" {
    task "help"
    ${maybe("give skin as infiltration", 6)}
    ${maybe("deflate all", 6)}
    ${maybe(lettingGo(parts).join("\n"), 4)}
  }
  emergency rescue "Rescue" {
    ${withSlips([`wait ${few(2)} s`, letGo(random), `recovery ${1 + few(3)} s`], random).join("\n")}
  }
  emergency flood "Flood" {
    ${withSlips([`wait ${few(3)} s`, "wait for hold", "deflate all", `recovery ${1 + few(3)} s`], random).join("\n")}
    ${maybe("go to emergency toxicity", 6)}
  }
  ${requirements(parts)}
  version 0.1.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs ${cuffs.join(", ")} on upper-arm {
    pressure 250 mmHg
  }
  dose local of lidocaine {
    amount 1 mg/kg
    over ${few(2)} s
    ${repeats(parts)}
  }
  dose skin of lidocaine {
    amount 10 mg
    over ${few(2)} s
  }
  local-rules ward
}
local-rules ward {
}
event rain "It rains"
agent lidocaine {
  kind local-anaesthetic
  concentration 0.5 %
  maximum 4 mg/kg
}
`;
}

/** The injection is given again: by itself after an interval, or where a question says so. */
function repeats({ random, few, maybe }: Parts): string {
  return maybe(`repeat ${few(2)} times every ${few(2)} s${random.oneIn(2) ? ' if "Patchy"' : ""}`, 8);
}

/** A deflation to save limb or life; at times nobody decides on it. */
function letGo(random: Random): string {
  return `deflate all for emergency${random.oneIn(4) ? "" : ' by "lead"'}`;
}

/** The same after signs of toxicity: where it is asked for, or whatever is answered. */
function lettingGo({ random, few, maybe }: Parts): string[] {
  const down = `${letGo(random)}\n${maybe(`recovery ${1 + few(3)} s`)}`;
  return [
    random.oneIn(3) ? down : `ask "Pale?" {\nyes {\n${down}\n}\nno {\n${maybe("deflate all", 4)}\n}\n}`,
  ];
}

interface Parts {
  readonly random: Random;
  /** A whole number from 1 on. */
  readonly few: (most: number) => number;
  /** The text, or nothing; the text once in so many times. */
  readonly maybe: (text: string, oneIn?: number) => string;
  readonly cuffs: readonly string[];
  readonly task: () => string;
  readonly hasInner: boolean;
}

function naming(): (letter: string) => string {
  let number = 0;
  return (letter) => {
    number += 1;
    return `${letter}${number}`;
  };
}

function skeleton(parts: Parts): string[] {
  const { random, few, maybe, cuffs, task, hasInner } = parts;
  const bandage = random.oneIn(3);
  const inner = hasInner
    ? [stage(parts, "inner", [`task "${task()}" takes ${few(2)} s to ${1 + few(3)} s`], cuffs)]
    : [];
  const release = random.oneIn(2)
    ? [`repeat 2 times {\ndeflate all for ${few(2)} s\nwatch ${few(2)} s\n}`, "deflate all"]
    : ["deflate all"];
  return [
    maybe("give skin as infiltration", 6),
    ...(random.oneIn(4) ? cuffTests(parts) : []),
    "insert cannula takes 0 s to 1 s",
    random.oneIn(2) ? "exsanguinate by elevation 1 s" : "",
    bandage ? "exsanguinate by bandage" : "",
    "inflate proximal",
    maybe("confirm proximal", 4),
    random.oneIn(4) ? "confirm proximal else {\ninflate proximal\n}" : "confirm proximal",
    bandage ? "remove bandage" : "",
    "inject local",
    maybe("inject local", 4),
    "remove cannula",
    maybe(`wait ${few(2)} s`),
    stage(parts, "procedure", [procedureTask(parts), ...inner, maybe(`wait ${few(3)} s`)], cuffs),
    maybe(
      `ask "Again?" {\nyes {\n${random.pick(["inject local", "give skin as infiltration", `wait ${few(4)} s`, "finish"])}\n}\nno {\n}\n}`,
      5,
    ),
    random.oneIn(5) ? "" : "wait for hold",
    ...release,
    `recovery ${few(4)} s`,
  ].filter((step) => step !== "");
}

/** The cuffs are tried before the block: soundly or not, for short or for long, once or several times. */
function cuffTests({ random, few, maybe, cuffs }: Parts): string[] {
  const one = () => {
    const cuff = random.pick([...cuffs, "all"]);
    const held = maybe(`wait ${few(4)} s`, 3);
    const down = random.pick([`deflate ${cuff}`, `deflate ${cuff}`, "deflate all", "deflate all for 1 s"]);
    return [`inflate ${cuff}`, maybe(`confirm ${cuff}`), held, down, maybe(`wait ${few(4)} s`)];
  };
  const tests = withSlips(one(), random);
  return random.oneIn(3)
    ? [`repeat 2 times {\n${tests.join("\n")}\n}`]
    : [...tests, ...(random.oneIn(2) ? one() : [])];
}

function procedureTask({ random, few, task }: Parts): string {
  const name = `task "${task()}"`;
  return random.pick([
    name,
    `${name} takes ${few(3)} s or more`,
    `${name} takes ${few(2)} s to ${2 + few(4)} s`,
    `${name} takes ${few(4)} s`,
  ]);
}

function stage(parts: Parts, name: string, steps: readonly string[], cuffs: readonly string[]): string {
  const { random, few, maybe } = parts;
  const takes = random.oneIn(3) ? ` takes ${few(3)} s to ${3 + few(5)} s` : "";
  const often = () => random.pick(["once", "once", "up to 2 times"]);
  const later = () => maybe(`not before ${few(3)} s `, 4);
  const swap =
    cuffs.length === 2 ? withSlips(["inflate distal", "confirm distal", "deflate proximal"], random) : [];
  const handlers = [
    swap.length > 0 ? maybe(`when tourniquet-pain ${later()}${often()} {\n${swap.join("\n")}\n}`) : "",
    maybe(`when patient-distress ${later()}${often()} {\n${reaction(parts)}\n}`, 3),
    maybe(`when hold reaches ${1 + few(6)} s {\n${random.oneIn(3) ? reaction(parts) : "end stage"}\n}`),
  ];
  return `stage ${name}${takes} {\n${[...withSlips(steps, random), ...handlers].filter((line) => line !== "").join("\n")}\n}`;
}

/** What a handler does. */
function reaction(parts: Parts): string {
  const { random, few } = parts;
  return random.pick([
    `wait ${few(4)} s`,
    `wait ${few(4)} s\nend stage`,
    `wait ${few(2)} s to ${2 + few(2)} s`,
    "go to emergency toxicity",
    "go to emergency flood",
    letGo(random),
    `ask "Wet?" {\nyes {\ngo to emergency flood\n}\nno {\n}\n}`,
    "wait 1 s\ngo to emergency toxicity",
    "deflate all for 1 s",
    "deflate all",
    "finish",
    `ask "Well?" {\nyes {\n}\nno {\nend stage\n}\n}`,
    "inflate all\nconfirm all",
    "give skin as nerve-block",
    "inject local",
  ]);
}

/** Mostly the emergency; at times the plan goes on, and whatever it still gives comes after signs of toxicity. */
function answerToToxicity({ random, few }: Parts): string {
  const other = random.pick([
    `wait ${few(2)} s`,
    `wait ${few(2)} s\nask "Severe?" {\nyes {\ngo to emergency toxicity\n}\nno {\n}\n}`,
    `ask "Sure?" {\nyes {\ngo to emergency toxicity\n}\nno {\n}\n}`,
    "give skin as infiltration\ngo to emergency toxicity",
  ]);
  return random.oneIn(4)
    ? `when toxicity-signs once {\n${other}\n}`
    : "when toxicity-signs {\ngo to emergency toxicity\n}";
}

/** What is done when a cuff loses its pressure: well, badly, for one cuff, or with an injection after it. */
function answersToLeak({ random, few, maybe, cuffs }: Parts): string[] {
  const last = cuffs[cuffs.length - 1];
  const good = ["inflate all", "confirm all"];
  const answer = () =>
    random.pick([
      [...good, maybe(`wait ${few(2)} s`)],
      [
        ...good,
        `ask "More?" {\nyes {\n${maybe("inject local")}\n}\nno {\n${random.pick(["finish", "go to emergency flood"])}\n}\n}`,
      ],
      [...good, 'task cuff-decision "Decide" takes 1 s', maybe("inject local")],
      [
        `inflate ${last}`,
        `confirm ${last} else {\n${random.pick(["go to emergency toxicity", "deflate all"])}\n}`,
      ],
      ["go to emergency toxicity"],
      [`wait ${few(2)} s`, "go to emergency flood"],
      ["deflate all"],
      [`wait ${few(3)} s`],
    ]);
  const handler = (of: string) =>
    `when cuff-leak${of} up to 2 times {\n${withSlips(
      answer().filter((line) => line !== ""),
      random,
    ).join("\n")}\n}`;
  return random.oneIn(3) ? cuffs.map((cuff) => handler(` of ${cuff}`)) : [handler("")];
}

/** Some steps left out, done twice, or in the other order: mostly none. */
function withSlips(steps: readonly string[], random: Random): string[] {
  const slipped = [...steps];
  if (slipped.length === 0 || !random.oneIn(3)) return slipped;
  const at = random.below(slipped.length);
  const [here = "", next] = slipped.slice(at, at + 2);
  const canBeTwice = !here.startsWith("stage") && !here.startsWith("task") && !here.startsWith("ask");
  switch (random.below(3)) {
    case 0:
      if (!here.startsWith("stage") && here !== "inject local") slipped.splice(at, 1);
      break;
    case 1:
      if (canBeTwice) slipped.splice(at, 0, here);
      break;
    default:
      if (next !== undefined) slipped.splice(at, 2, next, here);
  }
  return slipped.length > 0 ? slipped : [...steps];
}

function requirements({ random, few, maybe, cuffs }: Parts): string {
  const last = cuffs[cuffs.length - 1];
  const comparison = () => `${random.pick(["under", "over", "at least", "at most"])} ${few(6)} s`;
  const fact = () =>
    random.pick([
      "proximal up",
      `${last} flat`,
      "proximal confirmed",
      "drug in limb",
      "occluded",
      "cannula in",
      "bandage on",
      `since end of local ${comparison()}`,
      `since start of procedure ${comparison()}`,
      `since release ${comparison()}`,
      `hold ${comparison()}`,
    ]);
  const condition = () =>
    random.pick([
      `${fact()} and ${fact()}`,
      `not (${fact()} or ${fact()}) and ${fact()}`,
      `${fact()} and not (${fact()} and ${fact()})`,
    ]);
  const required = (text: string, oneIn: number) => maybe(`require "r" {\n${text}\n}\n`, oneIn);
  return [
    required(`never ${condition()}`, 2),
    required(`deflate all only when ${condition()}`, 4),
    required("remove cannula only after inject local", 4),
    required(`confirm ${last} within ${few(2)} s of inflate ${last}`, 3),
    required(`deflate all within ${4 + few(8)} s of inject local`, 4),
  ].join("");
}
