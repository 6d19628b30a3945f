// One invented case of the protocol wrist-reduction, with the deviations that are asked for. Nothing in it comes from a patient.

/** A generator of numbers from 0 to under 1 that gives the same ones for the same seed (mulberry32). */
export function randomFrom(seed) {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** What can be planted, in groups of which a case has one each at most: so that no deviation hides another. */
export const PLANTS = {
  person: ["patient", "contraindicated"],
  drug: ["dose"],
  gauge: ["pressure"],
  beginning: ["left-out", "wrong-order", "too-early injection"],
  middle: ["not-in-protocol step", "not-in-protocol event", "unplanned-release", "leak"],
  release: ["early release", "late release", "occlusion", "left-out release"],
};

const LEFT_OUT = [
  "insert cannula",
  "exsanguinate by bandage",
  "confirm distal",
  "confirm proximal",
  "remove bandage",
  "confirm no pulse",
  "remove cannula",
];

const PAUSE = 'task "Patient, limb, drug and dose read aloud"';
const LINE = 'task "In the blocked limb; nothing else is connected"';

/** Neighbours that are exchanged; the first is the one that came too early. */
const EXCHANGED = [
  [PAUSE, "apply cuffs"],
  ["confirm no pulse", "remove bandage"],
  ["inflate proximal", "confirm distal"],
  ["exsanguinate by bandage", "exsanguinate by elevation"],
];

const STRANGE = ["massage the arm", "inflate the other arm", "change the drape"];

const CONDITIONS = ["allergy", "sickle-cell", "vascular-disease", "hypertension"];
const UNITS = { weight: "kg", age: "years", systolic: "mmHg", circumference: "cm" };

/** The rows of a case, `{ time, event, value }` with the time in seconds, and what was planted. */
export function madeCase(random, plants) {
  const making = new Making(random, plants);
  const person = tellPerson(making);
  tellAmounts(making, person);
  const injected = tellBeginning(making);
  tellMiddle(making);
  tellRelease(making, injected);
  making.tell("finish", "");
  return { rows: making.rows, planted: making.planted };
}

/** A case as far as it is made. */
class Making {
  rows = [];
  planted = [];
  time = 0;
  #random;
  #plants;

  constructor(random, plants) {
    this.#random = random;
    this.#plants = plants;
  }

  has(plant) {
    return this.#plants.includes(plant);
  }

  plant(kind, what, more = {}) {
    this.planted.push({ kind, what, ...more });
  }

  isSo(chance) {
    return this.#random() < chance;
  }

  between(least, most) {
    return least + Math.floor(this.#random() * (most - least + 1));
  }

  oneOf(list) {
    return list[this.between(0, list.length - 1)];
  }

  pass(least, most) {
    this.time += this.between(least, most);
  }

  tell(event, value) {
    this.rows.push({ time: this.time, event, value });
  }

  /** A step that lasts so long, and a short while until the next. Gives the time of its end. */
  step(value, least, most) {
    this.tell("start", value);
    this.pass(least, most);
    this.tell("end", value);
    const ended = this.time;
    this.pass(0, 12);
    return ended;
  }
}

function tellPerson(making) {
  const person = {
    weight: making.between(450, 1300) / 10,
    age: making.between(16, 85),
    systolic: making.between(90, 180),
    circumference: making.between(25, 40),
  };
  if (making.has("patient")) {
    const what = making.oneOf(Object.keys(person));
    const outside = { weight: [131, 160], age: [8, 15], systolic: [181, 210], circumference: [41, 45] };
    person[what] = making.between(...outside[what]);
    making.plant("patient", what);
  }
  for (const [measure, unit] of Object.entries(UNITS)) {
    making.rows.push({ event: measure, value: `${person[measure]} ${unit}` });
  }
  tellConditions(making);
  return person;
}

function tellConditions(making) {
  if (!making.has("contraindicated")) {
    making.rows.push({ event: "contraindication", value: "none" });
    return;
  }
  const what = making.oneOf(CONDITIONS);
  for (const one of CONDITIONS) {
    making.rows.push({ event: "contraindication", value: `${one}: ${one === what ? "yes" : "no"}` });
  }
  making.plant("contraindicated", what);
}

/** 3 mg/kg up to 200 mg of 5 mg/mL, rounded down to 1 mL; systolic and 100 mmHg, or 250 mmHg if that is more. */
function tellAmounts(making, { weight, systolic }) {
  const tenthsOfMilligram = Math.min(Math.round(weight * 10) * 3, 2000);
  const volume = Math.floor(tenthsOfMilligram / 50);
  const given = making.has("dose") ? volume + making.oneOf([-5, -3, 2, 4, 6]) : volume;
  making.rows.push({ event: "dose", value: `local: ${given} mL` });
  if (making.has("dose")) making.plant("dose", "local");
  const pressure = Math.max(systolic + 100, 250);
  const set = making.has("pressure") ? pressure + making.oneOf([-40, -20, 15, 30]) : pressure;
  making.rows.push({ event: "pressure", value: `${set} mmHg` });
  if (making.has("pressure")) making.plant("pressure", "pressure");
}

/** All up to the wait after the injection; gives the time of its end. */
function tellBeginning(making) {
  const steps = plannedBeginning(making);
  const ends = new Map(steps.map(([value, least, most]) => [value, making.step(value, least, most)]));
  making.time = Math.max(...ends.values()) + making.between(300, 320);
  return ends.get("inject local");
}

function plannedBeginning(making) {
  const steps = [
    ["apply cuffs", 20, 45],
    [PAUSE, 10, 40],
    ["insert cannula", 15, 45],
    ["exsanguinate by elevation", 60, 75],
    ["exsanguinate by bandage", 20, 45],
    ["inflate distal", 5, 20],
    ["confirm distal", 3, 15],
    ["inflate proximal", 5, 20],
    ["confirm proximal", 3, 15],
    ["deflate distal", 3, 15],
    ["remove bandage", 10, 40],
    ["confirm no pulse", 5, 30],
    [LINE, 3, 20],
    ["inject local", 90, 180],
    ["remove cannula", 5, 40],
  ];
  const placeOf = (step) => steps.findIndex(([value]) => value === step);
  if (making.has("left-out")) {
    const what = making.oneOf(LEFT_OUT);
    steps.splice(placeOf(what), 1);
    making.plant("left-out", what);
  }
  if (making.has("wrong-order")) {
    const [early, late] = making.oneOf(EXCHANGED);
    const at = placeOf(late);
    steps.splice(at, 2, steps[at + 1], steps[at]);
    making.plant("wrong-order", early);
  }
  if (making.has("too-early injection")) {
    const by = making.between(5, 60);
    steps[placeOf("inject local")] = ["inject local", 90 - by, 90 - by];
    making.plant("too-early", "inject local", { by });
  }
  return steps;
}

/** The task, and what happens while it is in hand. */
function tellMiddle(making) {
  making.tell("start", TASK);
  const began = making.time;
  const cuff = tellPain(making) ? "distal" : "proximal";
  if (making.has("not-in-protocol step")) {
    const what = making.oneOf(STRANGE);
    making.pass(20, 60);
    making.step(what, 10, 60);
    making.plant("not-in-protocol", what);
  }
  if (making.has("not-in-protocol event")) {
    making.pass(20, 60);
    making.tell("event", "power-failure");
    making.plant("not-in-protocol", "power-failure");
  }
  if (making.has("unplanned-release")) {
    making.pass(20, 60);
    making.step(`deflate ${cuff}`, 3, 10);
    making.plant("unplanned-release", `deflate ${cuff}`);
  }
  if (making.has("leak")) tellLeak(making, cuff);
  making.time = Math.max(making.time, began + 300) + making.between(10, 500);
  making.tell("end", TASK);
}

const TASK = 'task "Reduce and splint"';

/** In three of ten cases the cuff hurts, and the cuffs are exchanged. */
function tellPain(making) {
  if (!making.isSo(0.3)) return false;
  making.pass(60, 200);
  making.tell("event", "tourniquet-pain");
  making.step("inflate distal", 5, 20);
  making.step("confirm distal", 3, 15);
  making.step("deflate proximal", 3, 15);
  return true;
}

function tellLeak(making, cuff) {
  making.pass(20, 60);
  making.tell("leak", cuff);
  making.plant("unplanned-release", `${cuff} loses pressure`);
  making.pass(2, 10);
  making.step("inflate all", 5, 20);
  making.step("confirm all", 3, 15);
}

function tellRelease(making, injected) {
  making.time = releaseTime(making, injected);
  making.time = making.step("deflate all for 10 s", 11, 25) + making.between(60, 80);
  if (making.has("left-out release")) {
    making.plant("left-out", "deflate all for 10 s");
  } else {
    making.time = making.step("deflate all for 10 s", 11, 25) + making.between(60, 80);
  }
  making.time = making.step("deflate all", 3, 15) + making.between(1800, 1820);
}

function releaseTime(making, injected) {
  const { time } = making;
  const ready = Math.max(time, injected + 1800);
  const release = "deflate all for 10 s";
  if (making.has("early release")) {
    const at = Math.max(time, injected + 1800 - making.between(20, 600));
    making.plant("too-early", release, { by: injected + 1800 - at });
    return at;
  }
  if (making.has("late release")) {
    const by = making.between(45, 600);
    making.plant("too-late", release, { by });
    return ready + by;
  }
  if (making.has("occlusion")) {
    const at = injected + making.between(3700, 4500);
    making.plant("too-late", release, { by: at - ready, rule: "occlusion-too-long" });
    return at;
  }
  return ready + making.between(0, 20);
}

/** Which deviations a case gets: one, seldom two or three, in so many of all cases. */
export function chosenPlants(random, share = 0.5) {
  if (random() >= share) return [];
  const groups = Object.values(PLANTS);
  const count = 1 + (random() < 0.3 ? 1 : 0) + (random() < 0.1 ? 1 : 0);
  const chosen = new Set();
  while (chosen.size < count) chosen.add(groups[Math.floor(random() * groups.length)]);
  return [...chosen].map((group) => group[Math.floor(random() * group.length)]);
}
