import { type Compiled, compileFile, type SheetResult, sheetPage, sheetsOf } from "@limbwright/language";
import { COMPILE, type Output, type OutputAsked, SHEETS, type SheetsAsked } from "@limbwright/shared/editor";
import { type Feature, inText } from "../service.ts";

/** What is written of a text: its rule files and its bedside sheets. The client puts them into files. */
export const outputs: Feature = {
  offers: () => ({ experimental: { outputs: true } }),
  register: (service) => {
    const { connection, checker } = service;
    connection.onRequest(COMPILE, ({ uri, draft }: OutputAsked): readonly Output[] | null =>
      inText(service, { textDocument: { uri } }, ({ site, file }) =>
        (compileFile(site, file, { on: checker.day, draft }) ?? []).map(ruleFileOf),
      ),
    );
    connection.onRequest(SHEETS, ({ uri, draft, graduation }: SheetsAsked): readonly Output[] | null =>
      inText(service, { textDocument: { uri } }, ({ site, file }) =>
        (sheetsOf(site, file, { on: checker.day, draft, graduation }) ?? []).map(sheetFileOf),
      ),
    );
  },
};

function ruleFileOf(compiled: Compiled): Output {
  if (compiled.kind === "refused") return compiled;
  const { kind, protocol, text, meaning } = compiled;
  return { kind, protocol, name: `${protocol}.json`, text, meaning };
}

function sheetFileOf(result: SheetResult): Output {
  if (result.kind === "refused") return result;
  const { kind, protocol, sheet } = result;
  return { kind, protocol, name: `${protocol}.html`, text: sheetPage(sheet), meaning: sheet.head.meaning };
}
