import type { Verdict } from "@limbwright/shared/finding";
import { listText } from "@limbwright/shared/text";
import { catalogue } from "../rules/catalogue.ts";
import type { Group } from "../rules/engine/definition.ts";
import { bothSides, type FoundChange, type SideJudged } from "./side.ts";

/** Rules whose answer changed. A rule that is judged by the day would change by itself. */
export function verdictChanges(before: SideJudged, now: SideJudged): FoundChange[] {
  const changed = now.judgement.verdicts.flatMap((verdict): Answer[] => {
    const rule = catalogue.find(({ id }) => id === verdict.rule);
    const old = before.judgement.verdicts.find((one) => one.rule === verdict.rule);
    const isChanged = rule && !rule.judgedOnDate && old && old.kind !== verdict.kind;
    return isChanged ? [{ verdict, old, isOfWriting: OF_WRITING.has(rule.group) }] : [];
  });
  return [
    ...changed
      .filter(({ verdict }) => verdict.kind !== "not-decided")
      .map((one) => answered(one, before, now)),
    ...undecided(changed),
  ];
}

interface Answer {
  readonly verdict: Verdict;
  readonly old: Verdict;
  readonly isOfWriting: boolean;
}

/** Rules about how something is written: what they find means the same as before. */
const OF_WRITING: ReadonlySet<Group> = new Set(["text", "numbers"]);

function answered({ verdict, old, isOfWriting }: Answer, before: SideJudged, now: SideJudged): FoundChange {
  const { rule, kind } = verdict;
  const finding = now.judgement.findings.find((one) => one.rule === rule);
  const earlier = before.judgement.findings.find((one) => one.rule === rule);
  return {
    kind: isOfWriting ? "wording" : "different",
    about: `rule \`${rule}\``,
    what: `\`${rule}\` ${IS[kind]} now; before, it ${WAS[old.kind]}.${finding ? ` ${finding.what}` : ""}`,
    ...bothSides(earlier, finding, ({ what }) => what),
  };
}

/** Many rules are often not decided for one reason: it is told once. */
function undecided(changed: readonly Answer[]): FoundChange[] {
  const byLimit = new Map<string, string[]>();
  for (const { verdict } of changed) {
    if (verdict.kind !== "not-decided") continue;
    byLimit.set(verdict.limit, [...(byLimit.get(verdict.limit) ?? []), `\`${verdict.rule}\``]);
  }
  return [...byLimit].map(([limit, rules]) => ({
    kind: "different",
    about: rules.length === 1 ? `rule ${rules[0]}` : `${rules.length} rules`,
    what: `${listText(rules)} ${rules.length === 1 ? "is" : "are"} not decided now, and ${rules.length === 1 ? "was" : "were"} before: ${limit}.`,
    notDecided: limit,
  }));
}

/** "`x` holds", "`x` is broken now". */
export const IS: Readonly<Record<Verdict["kind"], string>> = {
  holds: "holds",
  broken: "is broken",
  "not-decided": "is not decided",
};

/** "it held", "it was broken before". */
export const WAS: Readonly<Record<Verdict["kind"], string>> = {
  holds: "held",
  broken: "was broken",
  "not-decided": "was not decided",
};
