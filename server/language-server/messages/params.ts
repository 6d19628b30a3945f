/** Says what is wrong with a value, in a few words that follow its name; undefined where nothing is. */
type Check = (value: unknown) => string | undefined;

const MOST = 2 ** 31 - 1;

const text: Check = (value) => (typeof value === "string" ? undefined : "is no text");

const count: Check = (value) =>
  Number.isInteger(value) && Number(value) >= 0 && Number(value) <= MOST
    ? undefined
    : `is no whole number from 0 to ${MOST}`;

const anything: Check = () => undefined;

const id: Check = (value) =>
  typeof value === "string" || typeof value === "number" ? undefined : "is no id of a request";

function object(members: Readonly<Record<string, Check>>): Check {
  return (value) => {
    if (typeof value !== "object" || value === null || Array.isArray(value)) return "is no object";
    return firstFault(Object.keys(members), (name) => [
      name,
      members[name]?.((value as Record<string, unknown>)[name]),
    ]);
  };
}

function list(item: Check): Check {
  return (value) =>
    Array.isArray(value)
      ? firstFault([...value.keys()], (index) => [`${index}`, item(value[index])])
      : "is no list";
}

/** Any names, each with a text. */
const texts: Check = (value) => {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return "is no object";
  return firstFault(Object.keys(value), (name) => [name, text((value as Record<string, unknown>)[name])]);
};

function optional(check: Check): Check {
  return (value) => (value === undefined || value === null ? undefined : check(value));
}

function firstFault<Key>(
  keys: readonly Key[],
  look: (key: Key) => readonly [string, string | undefined],
): string | undefined {
  for (const key of keys) {
    const [name, fault] = look(key);
    if (fault !== undefined) return /^(is|has) /.test(fault) ? `${name} ${fault}` : `${name}.${fault}`;
  }
  return undefined;
}

const position = object({ line: count, character: count });
const range = object({ start: position, end: position });
const textDocument = object({ uri: text });
const inDocument = object({ textDocument });
const atPosition = object({ textDocument, position });
const inRange = object({ textDocument, range });
const item = object({ item: object({ uri: text, selectionRange: range }) });
const files = object({ files: list(object({ oldUri: text, newUri: text })) });

/** What the methods that the server handles need of their params. Of others nothing is asked. */
const CHECKS: Readonly<Record<string, Check>> = {
  initialize: object({ capabilities: object({}), workspaceFolders: optional(list(object({ uri: text }))) }),
  "$/cancelRequest": object({ id }),
  "$/setTrace": object({ value: text }),
  "$/progress": object({ token: id }),
  "window/workDoneProgress/cancel": object({ token: id }),
  "textDocument/didOpen": object({
    textDocument: object({ uri: text, languageId: text, version: anything, text }),
  }),
  "textDocument/didChange": object({
    textDocument,
    contentChanges: list(object({ text, range: optional(range) })),
  }),
  "textDocument/didClose": inDocument,
  "textDocument/didSave": inDocument,
  "textDocument/hover": atPosition,
  "textDocument/completion": atPosition,
  "textDocument/signatureHelp": atPosition,
  "textDocument/definition": atPosition,
  "textDocument/references": atPosition,
  "textDocument/documentHighlight": atPosition,
  "textDocument/prepareRename": atPosition,
  "textDocument/rename": object({ textDocument, position, newName: text }),
  "textDocument/documentSymbol": inDocument,
  "textDocument/foldingRange": inDocument,
  "textDocument/selectionRange": object({ textDocument, positions: list(position) }),
  "textDocument/semanticTokens/full": inDocument,
  "textDocument/semanticTokens/range": inRange,
  "textDocument/inlayHint": inRange,
  "textDocument/codeLens": inDocument,
  "textDocument/codeAction": object({
    textDocument,
    range,
    context: object({ diagnostics: list(anything) }),
  }),
  "textDocument/formatting": inDocument,
  "textDocument/rangeFormatting": inRange,
  "textDocument/onTypeFormatting": object({ textDocument, position, ch: text }),
  "textDocument/documentLink": inDocument,
  "textDocument/prepareCallHierarchy": atPosition,
  "callHierarchy/incomingCalls": item,
  "callHierarchy/outgoingCalls": item,
  "limbwright/preview": object({
    uri: text,
    position,
    patient: optional(
      object({
        weight: optional(text),
        age: optional(text),
        systolic: optional(text),
        circumference: optional(text),
      }),
    ),
  }),
  "limbwright/run": object({ uri: text, rule: text, range }),
  "limbwright/compile": object({ uri: text, draft: anything }),
  "limbwright/sheets": object({ uri: text, draft: anything }),
  "limbwright/template": object({ name: text, title: text, place: text, formulary: text }),
  "limbwright/rulePage": object({ rule: text }),
  "limbwright/comparison": object({
    uri: text,
    beforeUri: text,
    beforeName: text,
    nowName: text,
    earlier: texts,
  }),
  "limbwright/scenarios": object({ uri: text }),
  "limbwright/runScenario": object({ uri: text, scenario: text }),
  "workspace/symbol": object({ query: text }),
  "workspace/executeCommand": object({ command: text, arguments: optional(list(anything)) }),
  "workspace/didChangeWatchedFiles": object({ changes: list(object({ uri: text, type: count })) }),
  "workspace/didChangeWorkspaceFolders": object({
    event: object({ added: list(object({ uri: text })), removed: list(object({ uri: text })) }),
  }),
  "workspace/willRenameFiles": files,
  "workspace/didRenameFiles": files,
  "workspace/didCreateFiles": object({ files: list(object({ uri: text })) }),
  "workspace/didDeleteFiles": object({ files: list(object({ uri: text })) }),
};

/** What is wrong with the params of a call, such as "position.line is no whole number …"; undefined where nothing is. */
export function faultInParams(method: string, params: unknown): string | undefined {
  const check = CHECKS[method];
  const fault = check?.(params);
  if (fault === undefined) return undefined;
  return fault.startsWith("is ") ? `what it is called with ${fault}` : fault;
}
