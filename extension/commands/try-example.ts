import { TEMPLATE, type Template, type TemplateAsked } from "@limbwright/shared/editor";
import { ViewColumn, window, workspace } from "vscode";
import { firstProtocol } from "../walkthrough/first-protocol.ts";
import type { Command } from "./command.ts";

/** A text to try things on: whole in itself, with one slip to find, and no file that could be spoilt. */
export const tryExample: Command = {
  id: "limbwright.tryExample",
  run: async ({ client }) => {
    const asked: TemplateAsked = {
      name: "first-protocol",
      title: "A first protocol, to try things on",
      place: "upper-arm",
      formulary: "formulary.limb",
    };
    const template = await client.sendRequest<Template | null>(TEMPLATE, asked);
    if (!template) throw new Error("there is no template");
    const content = firstProtocol(template);
    const document = await workspace.openTextDocument({ language: "limb", content });
    // Beside the walkthrough that tells what to do with it.
    await window.showTextDocument(document, window.activeTextEditor ? ViewColumn.Active : ViewColumn.Beside);
  },
};
