import { FORMULARY_TEMPLATE, protocolTemplate, TEMPLATE_PLACES } from "@limbwright/language";
import { TEMPLATE, type Template, type TemplateAsked } from "@limbwright/shared/editor";
import { yearAfter } from "../../workspace/local-date.ts";
import type { Feature } from "../service.ts";

/** A new protocol to start from, to be read again within a year. */
export const template: Feature = {
  offers: () => ({ experimental: { template: true } }),
  register: ({ connection, checker }) => {
    connection.onRequest(TEMPLATE, (asked: TemplateAsked): Template | null =>
      isFit(asked)
        ? {
            protocol: protocolTemplate({ ...asked, reviewBy: yearAfter(checker.day) }),
            formulary: FORMULARY_TEMPLATE,
          }
        : null,
    );
  },
};

function isFit({ name, title, place, formulary }: TemplateAsked): boolean {
  const isName = /^[a-z][a-z0-9]*(-[a-z0-9]+)*$/.test(name);
  return (
    isName && [title, formulary].every((text) => !/["\\\r\n]/.test(text)) && TEMPLATE_PLACES.includes(place)
  );
}
