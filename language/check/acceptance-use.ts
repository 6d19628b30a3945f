import { type Finding, isInForce, type Verdict } from "@limbwright/shared/finding";
import { type Acceptance, canonicalName, type DeclaredRules } from "../model/index.ts";
import { tellUnneededAnswer, tellUnused } from "../rules/acceptance-unused/rule.ts";
import { findingOf } from "../rules/engine/judge.ts";
import { STATED } from "../rules/generated/stated.ts";

/**
 * Keeps, while the protocols of a site are judged, where each rule holds: an acceptance for every
 * protocol is not needed when its rule holds in all that were judged. An acceptance for one protocol (`in`) is judged
 * with that protocol.
 */
export class AcceptanceUse {
  readonly #judged = new Map<string, JudgedWith>();

  /** Takes note of a protocol with the names of its drugs. Only a rule that holds needs no acceptance: not one that is not decided. */
  note(
    localRules: DeclaredRules | undefined,
    { verdicts, drugs }: { readonly verdicts: readonly Verdict[]; readonly drugs: readonly string[] },
  ): void {
    if (!localRules || !concernsAll(localRules)) return;
    const key = keyOf(localRules);
    const judged = this.#judged.get(key) ?? { protocols: 0, holding: new Map(), drugs: new Set() };
    this.#judged.set(key, judged);
    judged.protocols += 1;
    for (const drug of drugs) judged.drugs.add(canonicalName(drug));
    for (const { rule, kind } of verdicts) {
      if (kind === "holds") judged.holding.set(rule, (judged.holding.get(rule) ?? 0) + 1);
    }
  }

  /** The acceptances of local rules that none of the protocols needed; none before a protocol was judged. */
  findUnused(localRules: DeclaredRules, on: string): Finding[] {
    const judged = this.#judged.get(keyOf(localRules));
    if (!judged) return [];
    const where = protocolsText(judged.protocols);
    const acceptances = localRules.acceptances.filter(
      (one) => isForAll(one) && isInForce(one, on) && judged.holding.get(one.rule) === judged.protocols,
    );
    const answers = localRules.answers.filter(({ agent }) => !judged.drugs.has(canonicalName(agent)));
    return [
      ...acceptances.map((one) => tellUnused(one, where)),
      ...answers.map((one) => tellUnneededAnswer(one, where)),
    ].map((one) => findingOf(STATED["acceptance-unused"], one));
  }
}

interface JudgedWith {
  protocols: number;
  /** In how many protocols each rule holds. */
  readonly holding: Map<string, number>;
  readonly drugs: Set<string>;
}

/** Whether local rules decide something for every protocol that is judged by them, which only all of these show to be needed. */
export function concernsAll({
  acceptances,
  answers,
}: Pick<DeclaredRules, "acceptances" | "answers">): boolean {
  return acceptances.some(isForAll) || answers.length > 0;
}

function isForAll({ protocol }: Acceptance): boolean {
  return protocol === undefined;
}

function keyOf({ origin, name }: DeclaredRules): string {
  return `${origin.file}#${name}`;
}

function protocolsText(count: number): string {
  return count === 1
    ? "the one checked protocol with these local rules"
    : `any of the ${count} checked protocols with these local rules`;
}
