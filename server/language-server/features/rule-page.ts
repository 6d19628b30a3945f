import { CAUTION, ruleList } from "@limbwright/language";
import { pageOf } from "@limbwright/language/rule-pages";
import { RULE_PAGE, type RulePageAsked } from "@limbwright/shared/editor";
import type { Feature } from "../service.ts";

/** The page of a rule: why it matters, what breaks and what passes it, its sources, what it does not see. */
export const rulePage: Feature = {
  offers: () => ({ experimental: { rulePage: true } }),
  register: ({ connection }) => {
    connection.onRequest(RULE_PAGE, ({ rule: asked }: RulePageAsked): string | null => {
      const rule = ruleList.find(({ id }) => id === asked);
      return rule ? `${pageOf(rule)}\n---\n\n*${CAUTION}*\n` : null;
    });
  },
};
