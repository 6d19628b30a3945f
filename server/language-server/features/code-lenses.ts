import { RUN_SCENARIO_COMMAND } from "@limbwright/shared/editor";
import type { CodeLens } from "vscode-languageserver";
import { rangeOf } from "../places.ts";
import { type AskedText, type Feature, inText, type Service } from "../service.ts";
import { scenariosIn } from "./scenarios.ts";

/** Above each protocol, whether its rules hold; above each scenario, a way to run it. */
export const codeLenses: Feature = {
  offers: () => ({ codeLensProvider: { resolveProvider: false } }),
  register: (service) => {
    service.connection.onCodeLens((params) =>
      inText(service, params, (asked) => [...proofLenses(service, asked), ...scenarioLenses(asked)]),
    );
  },
};

function proofLenses({ checker }: Service, asked: AskedText): CodeLens[] {
  return checker.statesOf(asked).map(({ judged, words, state }) => ({
    range: rangeOf(judged.nameOrigin),
    // A title without a command behind it: clients show it, and nothing happens on a click.
    command: { title: state === "stale" ? `${words} …` : words, command: "" },
  }));
}

function scenarioLenses({ document, ...asked }: AskedText): CodeLens[] {
  return scenariosIn(asked).map(({ name, range }) => ({
    range,
    command: {
      title: "run this scenario",
      command: RUN_SCENARIO_COMMAND,
      arguments: [document.uri, name],
    },
  }));
}
