import { compareOrigins } from "@limbwright/shared/finding";
import { type Protocol, sectionTexts, type WrittenText, writtenTexts } from "../../model/index.ts";
import type { Rule } from "../engine/definition.ts";
import { found, HOLDS, type Judgement } from "../engine/judgement.ts";
import { TEXTS_TO_REPLACE } from "../generated/template-texts.ts";

export const rule: Rule = { judge: ({ protocol }) => judge(protocol) };

const TO_REPLACE = new Set(TEXTS_TO_REPLACE.map(plain));

function judge(protocol: Protocol): Judgement {
  const left = textsOf(protocol)
    .filter(({ text }) => TO_REPLACE.has(plain(text)))
    .sort((a, b) => compareOrigins(a.origin, b.origin));
  const [first, ...others] = left;
  if (!first) return HOLDS;
  const more = others.length === 0 ? "" : `, and ${others.length} more`;
  return found({
    origin: first.origin,
    ...(isToBeUsed(protocol) ? {} : { severity: "advice" as const }),
    what: `"${first.text}"${more}: nobody here has written this yet.`,
    label: "the template's own words",
    next: "Write what holds at your hospital. Until then the protocol is a draft, and is compiled as one only (`--draft`).",
    related: others.map(({ origin }) => ({ origin, note: "the template's own words" })),
  });
}

/** What is in review or approved is on its way to patients. */
function isToBeUsed({ status }: Protocol): boolean {
  const kind = status?.value.kind;
  return kind === "in-review" || kind === "approved";
}

function textsOf(protocol: Protocol): Pick<WrittenText, "text" | "origin">[] {
  const { hospital, owner, title, nameOrigin, patients, emergencies, requirements } = protocol;
  const head = [hospital, owner, ...sectionTexts(protocol)].flatMap((one) =>
    one ? [{ text: one.value, origin: one.origin }] : [],
  );
  const titled = [...emergencies, ...requirements, ...protocol.declaredEvents];
  return [
    ...(title === undefined ? [] : [{ text: title, origin: nameOrigin }]),
    ...head,
    ...(patients?.conditions ?? []).flatMap(({ text, because, origin }) =>
      [text, because].flatMap((one) => (one === undefined ? [] : [{ text: one, origin }])),
    ),
    ...writtenTexts(protocol),
    ...titled.flatMap(({ title: text, origin }) => (text === undefined ? [] : [{ text, origin }])),
  ];
}

/** A text without what an eye passes over: capitals, blanks, and a full stop at its end. */
function plain(text: string): string {
  return text.trim().replace(/\s+/g, " ").replace(/\.$/, "").toLowerCase();
}
