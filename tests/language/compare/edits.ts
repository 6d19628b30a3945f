import type { ChangeKind, RaisedNumber } from "@limbwright/language";

/** One edit of the wrist protocol with the kind that has to come first, and the number it asks to be raised. */
export interface Edit {
  readonly says: string;
  readonly from: string;
  readonly to: string;
  readonly kind: ChangeKind | "nothing";
  readonly raises: RaisedNumber;
}

function edit(says: string, from: string, to: string, kind: Edit["kind"], raises: RaisedNumber): Edit {
  return { says, from, to, kind, raises };
}

const ALLERGY = '    contraindicated allergy          "Allergy to an amide local anaesthetic"\n';

export const EDITS: readonly Edit[] = [
  edit("a wider range of weights", "45 to 130 kg", "40 to 130 kg", "looser", "first"),
  edit("a narrower range of ages", "16 to 85 years", "18 to 85 years", "tighter", "second"),
  edit("a range that is moved", "90 to 180 mmHg", "100 to 190 mmHg", "looser", "first"),
  edit("a contraindication that is given up", ALLERGY, "", "looser", "first"),
  edit(
    "a contraindication that becomes a caution",
    "contraindicated sickle-cell     ",
    "caution sickle-cell",
    "looser",
    "first",
  ),
  edit(
    "a caution that becomes a contraindication",
    "caution         raynaud",
    "contraindicated raynaud",
    "tighter",
    "second",
  ),
  edit(
    "a contraindication in other words",
    "an amide local anaesthetic",
    "any local anaesthetic",
    "needs-a-reader",
    "second",
  ),
  edit("another indication", "Closed reduction", "Closed manipulation", "needs-a-reader", "second"),
  edit("a higher cap", "up to 200 mg", "up to 250 mg", "looser", "first"),
  edit("less for each kilogram", "3 mg/kg up to", "2.5 mg/kg up to", "tighter", "second"),
  edit("more for the light, less for the heavy", "3 mg/kg up to 200 mg", "180 mg", "looser", "first"),
  edit("the same amount in millilitres", "3 mg/kg up to 200 mg", "0.6 mL/kg up to 40 mL", "wording", "third"),
  edit("a faster injection", "90 s to 3 min", "60 s to 3 min", "looser", "first"),
  edit("another drug", "lidocaine at 0.5 %", "prilocaine", "different", "first"),
  edit("another concentration", "at 0.5 %", "at 0.25 %", "different", "first"),
  edit("more of a rescue drug", "amount 1.5 mL/kg", "amount 2 mL/kg", "different", "first"),
  edit("less of a rescue drug", "total up to 12 mL/kg", "total up to 10 mL/kg", "different", "first"),
  edit("a lower pressure", "systolic + 100 mmHg", "systolic + 90 mmHg", "different", "second"),
  edit("a higher ceiling", "ceiling  300 mmHg", "ceiling  320 mmHg", "looser", "first"),
  edit("a cuff for thicker limbs", "fits     25 to 40 cm", "fits     25 to 42 cm", "looser", "first"),
  edit("another label", '"grey"', '"blue"', "needs-a-reader", "second"),
  edit("a shorter minimum", "at least 30 min", "at least 20 min", "looser", "first"),
  edit("a longer minimum", "at least 30 min", "at least 33 min", "tighter", "second"),
  edit("a longer maximum that no run needs", "at most  50 min", "at most  55 min", "looser", "first"),
  edit("fewer people", "staff       2", "staff       1", "looser", "first"),
  edit(
    "an amount at hand",
    "at-hand     lipid-emulsion",
    "at-hand     lipid-emulsion 2 L",
    "tighter",
    "second",
  ),
  edit("rarer readings", "every 5 min\n    at-hand", "every 10 min\n    at-hand", "looser", "first"),
  edit("one monitor less", "ecg, spo2, nibp", "spo2, nibp", "looser", "first"),
  edit("a shorter wait", "wait 5 min", "wait 4 min", "looser", "first"),
  edit("the same wait in seconds", "wait 5 min", "wait 300 s", "nothing", "none"),
  edit("a stage that ends earlier", "reaches 45 min", "reaches 42 min", "tighter", "second"),
  edit("a stage that ends later", "reaches 45 min", "reaches 47 min", "looser", "first"),
  edit("no waiting for the minimum", "    wait for hold\n", "", "looser", "first"),
  edit("a step left out", "    confirm no pulse\n", "", "different", "first"),
  edit(
    "two steps the other way round",
    'inject local\n    remove cannula "Press on the puncture"\n',
    'remove cannula "Press on the puncture"\n    inject local\n',
    "different",
    "first",
  ),
  edit(
    "an answer to an event given up",
    "when tourniquet-pain once {",
    "when patient-distress once {",
    "different",
    "first",
  ),
  edit(
    "an answer as often as twice",
    "tourniquet-pain once",
    "tourniquet-pain up to 2 times",
    "different",
    "first",
  ),
  edit(
    "a routine written out",
    "do staged-release",
    'deflate all for 10 s\n watch 1 min\n deflate all for 10 s\n watch 1 min\n deflate all "Watch the patient, not the clock"',
    "wording",
    "third",
  ),
  edit("a task in other words", "Reduce and splint", "Reduce, splint and check", "needs-a-reader", "second"),
  edit("a note in other words", "Half overlap", "Full overlap", "needs-a-reader", "second"),
  edit(
    "an emergency's task in other words",
    "Stop. Call for help.",
    "Call for help.",
    "needs-a-reader",
    "second",
  ),
  edit("an emergency without oxygen", '    task oxygen  "Oxygen, airway"\n', "", "different", "first"),
  edit("another title", "Wrist fracture reduction", "Reduction of a wrist fracture", "wording", "third"),
  edit("another status", "status    draft", "status    in-review", "wording", "none"),
  edit("a later review", "2027-06-30", "2027-12-31", "wording", "none"),
  edit(
    "a comment and another layout",
    "  prepare {\n",
    "  // before the first step\n  prepare   {\n\n",
    "nothing",
    "none",
  ),
];
