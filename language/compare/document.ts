import { type Protocol, type Requirement, sectionTexts } from "../model/index.ts";
import { type Field, fieldChanges, NOT_STATED, textChanges } from "./fields.ts";
import { partedByKey } from "./pairing.ts";
import { meaningText } from "./same.ts";
import { bothSides, type Comparing, type FoundChange, partedChanges, type Sides } from "./side.ts";

/** What the document says of itself, and the names that its parts are called by. */
export function documentChanges({ before, now, judged, likeness, renamed }: Comparing): FoundChange[] {
  const earlier = judged.before.protocol;
  return [
    ...nameChange(earlier, now, likeness),
    ...FIELDS.flatMap(([about, field]) => fieldChanges([field], about, before, now)),
    ...renamed.map(
      ({ kind, before: old, now: recent }): FoundChange => ({
        code: "part-renamed",
        about: `${kind} \`${recent.name}\``,
        what: `The ${kind} \`${old.name}\` is called \`${recent.name}\` now.`,
        ...bothSides(old, recent, ({ name }) => name),
      }),
    ),
  ];
}

/** Where two names were taken for one protocol by what it says, a person has to say whether it is one. */
function nameChange(before: Protocol, now: Protocol, likeness: Comparing["likeness"]): FoundChange[] {
  if (before.name === now.name) return [];
  const renamed = `The protocol is called \`${now.name}\` now; before, \`${before.name}\`.`;
  const why =
    likeness &&
    `It is taken for the same one, for no other is so like it: of ${likeness.all} statements that the two make, both make ${likeness.common}.`;
  return [
    {
      code: "protocol-name",
      kind: why === undefined ? "wording" : "needs-a-reader",
      about: "name",
      what: why === undefined ? renamed : `${renamed} ${why}`,
      before: { says: before.name, origin: before.nameOrigin },
      now: { says: now.name, origin: now.nameOrigin },
    },
  ];
}

/** A line at the head of a protocol: it stands at the name, whether or not it is stated. */
function line(code: Field<Protocol>["code"], about: string, words: (one: Protocol) => string | undefined) {
  const value = (one: Protocol) => ({ value: words(one) ?? NOT_STATED, origin: one.nameOrigin });
  return [about, { code, name: () => `The ${about}`, value }] as const;
}

const FIELDS = [
  line("protocol-title", "title", ({ title }) => title),
  line("protocol-hospital", "hospital", ({ hospital }) => hospital?.value),
  line("protocol-owner", "owner", ({ owner }) => owner?.value),
  line("protocol-status", "status", statusText),
  line("protocol-review", "day of review", ({ reviewBy }) => reviewBy?.value),
];

/** "approved by Governance on 2026-11-01". */
export function statusText({ status }: Protocol): string | undefined {
  const value = status?.value;
  return value?.kind === "approved" ? `approved by ${value.by} on ${value.on}` : value?.kind;
}

/** What is otherwise in the sections that are one text alone, by the word that they stand behind. */
export function changesOfTexts(word: string, code: FoundChange["code"] = "not-told-apart") {
  const texts = (protocol: Protocol) => sectionTexts(protocol).filter((one) => one.word === word);
  return ({ before, now }: Sides) => textChanges(code, word, texts(before), texts(now));
}

/** The hospital's own requirements. They are claims that are proven: no run is gained or lost by one alone. */
export function requirementChanges({ before, now }: Sides): FoundChange[] {
  const same = partedByKey(before.requirements, now.requirements, ({ property }) => meaningText(property));
  const title = (one: Requirement) => one.title;
  const change = (
    code: FoundChange["code"],
    what: string,
    old?: Requirement,
    recent?: Requirement,
  ): FoundChange => ({
    code,
    about: `requirement “${(recent ?? old)?.title}”`,
    what: `The requirement ${what}`,
    ...bothSides(old, recent, title),
  });
  return [
    ...same.pairs
      .filter(([old, recent]) => old.title !== recent.title)
      .map(([old, recent]) =>
        change(
          "requirement-title",
          `“${old.title}” is called “${recent.title}” now; it asks for the same.`,
          old,
          recent,
        ),
      ),
    ...partedChanges(
      partedByKey(same.gone, same.added, title),
      (old, recent) => [
        change("requirement-changed", `“${recent.title}” asks for something else now.`, old, recent),
      ],
      (one, isNew) =>
        isNew
          ? change("requirement-added", `“${one.title}” is new.`, undefined, one)
          : change(
              "requirement-removed",
              `“${one.title}” is no longer there: nobody proves it any more.`,
              one,
            ),
    ),
  ];
}
