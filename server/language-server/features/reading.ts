import {
  type ColouredToken,
  colourTokens,
  findUsedFiles,
  foldsOf,
  hoverAt,
  inlaysOf,
  type OutlineItem,
  outlineOf,
  selectionsAt,
  type TokenKind,
} from "@limbwright/language/editor";
import { RUN_SCENARIO_COMMAND } from "@limbwright/shared/editor";
import {
  type CodeLens,
  type DocumentSymbol,
  FoldingRangeKind,
  type InlayHint,
  MarkupKind,
  type SelectionRange,
  type SemanticTokens,
  SemanticTokensBuilder,
  type SemanticTokensLegend,
  type SemanticTokensRangeParams,
} from "vscode-languageserver";
import { envelopesAt } from "../checking/proof-states.ts";
import { overlaps, positionOf, rangeOf, SYMBOL_KINDS } from "../places.ts";
import { type AskedText, atPlace, inText, type Service } from "../service.ts";
import { scenariosIn } from "./requests.ts";

/** Shows what stands in a text: its outline and its colours, and beside its words what they mean and come to. */
export function showTexts(service: Service): void {
  const { connection, checker } = service;
  connection.onDocumentSymbol(inText(service, ({ site, file }) => outlineOf(site, file).map(symbolOf)));
  // The files of `use` statements; none for a file that is not there or lies outside the workspace.
  connection.onDocumentLinks(
    inText(service, ({ folder, file, site }) =>
      findUsedFiles(site, file)
        .filter(({ used }) => folder.textOf(used) !== undefined)
        .map(({ origin, used }) => ({ range: rangeOf(origin), target: folder.uriOf(used) })),
    ),
  );
  connection.onFoldingRanges(
    inText(service, ({ site, file }) =>
      foldsOf(site, file).map(({ startLine, endLine, kind }) => ({
        startLine: startLine - 1,
        endLine: endLine - 1,
        ...(kind === "comment" && { kind: FoldingRangeKind.Comment }),
        ...(kind === "uses" && { kind: FoldingRangeKind.Imports }),
      })),
    ),
  );
  connection.onSelectionRanges(
    inText(service, ({ site, file, document }, { positions }) =>
      positions.map((position): SelectionRange => {
        const origins = selectionsAt(site, file, document.offsetAt(position));
        return (
          origins.reduceRight<SelectionRange | undefined>(
            (parent, origin) => ({ range: rangeOf(origin), ...(parent && { parent }) }),
            undefined,
          ) ?? { range: { start: position, end: position } }
        );
      }),
    ),
  );
  // What a term means, a dose at chosen patients, the times of a protocol, a rule with its sources.
  connection.onHover(
    atPlace(service, ({ offset, ...asked }) => {
      const told = hoverAt(asked.site, asked.file, offset, envelopesAt(checker.statesOf(asked)));
      return told
        ? { contents: { kind: MarkupKind.Markdown, value: told.markdown }, range: rangeOf(told.origin) }
        : null;
    }),
  );
  // What amounts are over all patients, and times over all runs.
  connection.languages.inlayHint.on(
    inText(service, (asked, { range }) =>
      inlaysOf(asked.site, asked.file, envelopesAt(checker.statesOf(asked))).flatMap(
        ({ place, text, tooltip }): InlayHint[] => {
          const position = positionOf(place);
          return overlaps({ start: position, end: position }, range)
            ? [{ position, label: text, tooltip, paddingLeft: true }]
            : [];
        },
      ),
    ),
  );
  connection.onCodeLens(
    inText(service, (asked) => [...proofLenses(service, asked), ...scenarioLenses(asked)]),
  );
  colourWords(service);
}

function symbolOf({ name, detail, kind, origin, nameOrigin, children }: OutlineItem): DocumentSymbol {
  return {
    name,
    detail,
    kind: SYMBOL_KINDS[kind],
    range: rangeOf(origin),
    selectionRange: rangeOf(nameOrigin),
    children: children.map(symbolOf),
  };
}

/** Above each protocol, whether its rules hold. */
function proofLenses({ checker }: Service, asked: AskedText): CodeLens[] {
  return checker.statesOf(asked).map(({ judged, words, state }) => ({
    range: rangeOf(judged.nameOrigin),
    // A title without a command behind it: clients show it, and nothing happens on a click.
    command: { title: state === "stale" ? `${words} …` : words, command: "" },
  }));
}

/** Above each scenario, a way to run it. */
function scenarioLenses(asked: AskedText): CodeLens[] {
  const [title, command] = ["run this scenario", RUN_SCENARIO_COMMAND];
  return scenariosIn(asked).map(({ name, range }) => ({
    range,
    command: { title, command, arguments: [asked.document.uri, name] },
  }));
}

/** The standard kinds of token that editors have colours for. */
export const TOKENS: SemanticTokensLegend = {
  tokenTypes: [
    "keyword",
    "number",
    "string",
    "comment",
    "type",
    "variable",
    "property",
    "function",
    "event",
    "class",
    "namespace",
    "decorator",
  ],
  tokenModifiers: ["declaration"],
};

const TYPE_OF: Readonly<Record<TokenKind, string>> = {
  agent: "type",
  comment: "comment",
  cuff: "variable",
  dose: "property",
  emergency: "function",
  event: "event",
  keyword: "keyword",
  "local-rules": "namespace",
  number: "number",
  protocol: "class",
  routine: "function",
  rule: "decorator",
  stage: "namespace",
  text: "string",
  timer: "variable",
  word: "property",
};

/** What each word is, for its colour. */
function colourWords(service: Service): void {
  const { semanticTokens } = service.connection.languages;
  const tokensIn = ({ site, file }: AskedText) => colourTokens(site, file);
  const inWhole = inText(service, (asked) => buildTokens(tokensIn(asked)));
  const inRange = inText(service, (asked, { range }: SemanticTokensRangeParams) =>
    buildTokens(tokensIn(asked).filter(({ origin }) => overlaps(rangeOf(origin), range))),
  );
  semanticTokens.on((params) => inWhole(params) ?? NONE);
  semanticTokens.onRange((params) => inRange(params) ?? NONE);
}

const NONE: SemanticTokens = { data: [] };

function buildTokens(tokens: readonly ColouredToken[]): SemanticTokens {
  const builder = new SemanticTokensBuilder();
  for (const { origin, kind, isDeclaration } of tokens) {
    const { start, end } = rangeOf(origin);
    const type = TOKENS.tokenTypes.indexOf(TYPE_OF[kind]);
    builder.push(start.line, start.character, end.character - start.character, type, isDeclaration ? 1 : 0);
  }
  return builder.build();
}
