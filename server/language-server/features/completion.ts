import { type Completion, type CompletionKind, completionsAt } from "@limbwright/language/editor";
import { type CompletionItem, CompletionItemKind, InsertTextFormat } from "vscode-languageserver";
import { filesOf } from "../names/names-in-folder.ts";
import { relativePath } from "../names/relative-path.ts";
import { rangeOf } from "../places.ts";
import { atPlace, type Feature } from "../service.ts";

const KINDS: Readonly<Record<CompletionKind, CompletionItemKind>> = {
  agent: CompletionItemKind.Constant,
  cuff: CompletionItemKind.Variable,
  dose: CompletionItemKind.Value,
  emergency: CompletionItemKind.Event,
  event: CompletionItemKind.Event,
  file: CompletionItemKind.File,
  "local-rules": CompletionItemKind.Module,
  protocol: CompletionItemKind.Module,
  routine: CompletionItemKind.Function,
  rule: CompletionItemKind.Reference,
  stage: CompletionItemKind.Struct,
  statement: CompletionItemKind.Keyword,
  timer: CompletionItemKind.Variable,
  unit: CompletionItemKind.Unit,
  word: CompletionItemKind.Keyword,
};

/** What can stand at the cursor: statements with their places to fill in, names, units, rules, files. */
export const completion: Feature = {
  offers: () => ({ completionProvider: { triggerCharacters: [" ", '"', "/"] } }),
  register: (service) => {
    const item = service.client.textDocument?.completion?.completionItem;
    const takesTemplates = item?.snippetSupport ?? false;
    service.connection.onCompletion((params) =>
      atPlace(service, params, ({ folder, site, file, offset }) => {
        const files = filesOf(folder)
          .filter((one) => one !== file)
          .map((one) => relativePath(file, one));
        const found = completionsAt(site, file, offset, files);
        const range = found && rangeOf(found.replaced);
        return found && range ? found.items.map((one) => itemOf(one, range, takesTemplates)) : [];
      }),
    );
  },
};

function itemOf(
  { label, kind, detail, text, isTemplate }: Completion,
  range: ReturnType<typeof rangeOf>,
  takesTemplates: boolean,
): CompletionItem {
  const isSnippet = isTemplate && takesTemplates;
  return {
    label,
    kind: isTemplate ? CompletionItemKind.Snippet : KINDS[kind],
    ...(detail !== "" && { detail }),
    insertTextFormat: isSnippet ? InsertTextFormat.Snippet : InsertTextFormat.PlainText,
    textEdit: { range, newText: isTemplate && !takesTemplates ? fillIn(text) : text },
  };
}

/** A template with its places filled in as they are proposed. */
function fillIn(template: string): string {
  return template.replace(/\$\{\d+:([^}]*)\}/g, "$1").replace(/\$0/g, "");
}
