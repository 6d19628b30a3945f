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

/** Neighbours that are exchanged; the first is the one that came too early. */
const EXCHANGED = [
  ["insert cannula", "apply cuffs"],
  ["confirm no pulse", "remove bandage"],
  ["inflate proximal", "confirm distal"],
  ["exsanguinate by bandage", "exsanguinate by elevation"],
];

const STRANGE = ["massage the arm", "inflate the other arm", "change the drape"];

/** The rows of a case, `{ time, event, value }` with the time in seconds, and what was planted. */
export function madeCase(random, plants) {
  const between = (least, most) => least + Math.floor(random() * (most - least + 1));
  const oneOf = (list) => list[between(0, list.length - 1)];
  const has = (plant) => plants.includes(plant);
  const rows = [];
  const planted = [];
  const plant = (kind, what, more = {}) => planted.push({ kind, what, ...more });

  const person = {
    weight: between(450, 1300) / 10,
    age: between(16, 85),
    systolic: between(90, 180),
    circumference: between(25, 40),
  };
  if (has("patient")) {
    const what = oneOf(["weight", "age", "systolic", "circumference"]);
    person[what] = { weight: between(131, 160), age: between(8, 15), systolic: between(181, 210), circumference: 41 }[what];
    plant("patient", what);
  }
  const units = { weight: "kg", age: "years", systolic: "mmHg", circumference: "cm" };
  for (const [measure, unit] of Object.entries(units)) {
    rows.push({ event: measure, value: `${person[measure]} ${unit}` });
  }
  if (has("contraindicated")) {
    const what = oneOf(["allergy", "sickle-cell", "vascular-disease", "hypertension"]);
    for (const one of ["allergy", "sickle-cell", "vascular-disease", "hypertension"]) {
      rows.push({ event: "contraindication", value: `${one}: ${one === what ? "yes" : "no"}` });
    }
    plant("contraindicated", what);
  } else rows.push({ event: "contraindication", value: "none" });

  const tenths = Math.min(Math.round(person.weight * 10) * 3, 2000);
  const volume = Math.floor(tenths / 50);
  const given = has("dose") ? volume + oneOf([-5, -3, 2, 4, 6]) : volume;
  rows.push({ event: "dose", value: `local: ${given} mL` });
  if (has("dose")) plant("dose", "local");
  const pressure = Math.max(person.systolic + 100, 250);
  const set = has("pressure") ? pressure + oneOf([-40, -20, 15, 30]) : pressure;
  rows.push({ event: "pressure", value: `${set} mmHg` });
  if (has("pressure")) plant("pressure", "pressure");

  let time = 0;
  const tell = (event, value) => rows.push({ time, event, value });
  const pass = (least, most) => {
    time += between(least, most);
  };
  const step = (value, least, most) => {
    tell("start", value);
    pass(least, most);
    tell("end", value);
    pass(0, 12);
  };

  const beginning = [
    ["apply cuffs", 20, 45],
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
    ["inject local", 90, 180],
    ["remove cannula", 5, 40],
  ];
  if (has("left-out")) {
    const what = oneOf(LEFT_OUT);
    beginning.splice(beginning.findIndex(([value]) => value === what), 1);
    plant("left-out", what);
  }
  if (has("wrong-order")) {
    const [early, late] = oneOf(EXCHANGED);
    const at = beginning.findIndex(([value]) => value === late);
    beginning.splice(at, 2, beginning[at + 1], beginning[at]);
    plant("wrong-order", early);
  }
  if (has("too-early injection")) {
    const inject = beginning.find(([value]) => value === "inject local");
    const short = between(5, 60);
    inject[1] = inject[2] = 90 - short;
    plant("too-early", "inject local", { by: short });
  }
  let injected = 0;
  for (const [value, least, most] of beginning) {
    step(value, least, most);
    if (value === "inject local") injected = rows.at(-1).time;
  }
  time = rows.at(-1).time + between(300, 320);

  tell("start", 'task "Reduce and splint"');
  const taskBegan = time;
  let isSwapped = false;
  if (random() < 0.3) {
    pass(60, 200);
    tell("event", "tourniquet-pain");
    step("inflate distal", 5, 20);
    step("confirm distal", 3, 15);
    step("deflate proximal", 3, 15);
    isSwapped = true;
  }
  const cuffUp = isSwapped ? "distal" : "proximal";
  if (has("not-in-protocol step")) {
    const what = oneOf(STRANGE);
    pass(20, 60);
    step(what, 10, 60);
    plant("not-in-protocol", what);
  }
  if (has("not-in-protocol event")) {
    pass(20, 60);
    tell("event", "power-failure");
    plant("not-in-protocol", "power-failure");
  }
  if (has("unplanned-release")) {
    pass(20, 60);
    step(`deflate ${cuffUp}`, 3, 10);
    plant("unplanned-release", `deflate ${cuffUp}`);
  }
  if (has("leak")) {
    pass(20, 60);
    tell("leak", cuffUp);
    plant("unplanned-release", `${cuffUp} loses pressure`);
    pass(2, 10);
    step("inflate all", 5, 20);
    step("confirm all", 3, 15);
  }
  time = Math.max(time, taskBegan + 300) + between(10, 500);
  tell("end", 'task "Reduce and splint"');

  const ready = Math.max(time, injected + 1800);
  if (has("early release")) {
    const by = between(20, 600);
    time = Math.max(time, injected + 1800 - by);
    plant("too-early", "deflate all for 10 s", { by: injected + 1800 - time });
  } else if (has("late release")) {
    time = ready + between(45, 600);
    plant("too-late", "deflate all for 10 s", { by: time - ready });
  } else if (has("occlusion")) {
    time = injected + between(3700, 4500);
    plant("too-late", "deflate all for 10 s", { by: time - ready, rule: "occlusion-too-long" });
  } else time = ready + between(0, 20);
  step("deflate all for 10 s", 11, 25);
  time = rows.at(-1).time + between(60, 80);
  if (has("left-out release")) {
    plant("left-out", "deflate all for 10 s");
  } else {
    step("deflate all for 10 s", 11, 25);
    time = rows.at(-1).time + between(60, 80);
  }
  step("deflate all", 3, 15);
  time = rows.at(-1).time + between(1800, 1820);
  tell("finish", "");
  return { rows, planted };
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
