import type { Origin } from "@limbwright/shared/finding";
import { type AstNode, AstUtils, GrammarUtils, type LangiumDocument } from "langium";
import type { Site } from "../lower/site.ts";
import { originOfRange } from "./folds.ts";
import { KINDS_OF_NAMED, type NameKind } from "./names.ts";

export type OutlineKind = NameKind | "handler" | "requirement" | "scenario" | "section";

/** One entry of a file's outline, with what it holds. */
export interface OutlineItem {
  readonly name: string;
  readonly detail: string;
  readonly kind: OutlineKind;
  readonly origin: Origin;
  /** The tightest words that name it; inside `origin`. */
  readonly nameOrigin: Origin;
  readonly children: readonly OutlineItem[];
}

const KINDS: Readonly<Record<string, OutlineKind>> = {
  ...KINDS_OF_NAMED,
  Cuffs: "section",
  Patients: "section",
  Prepare: "section",
  Requirement: "requirement",
  Scenario: "scenario",
  Steps: "section",
  Throughout: "section",
  WhenEvent: "handler",
  WhenReaches: "handler",
};

/** What a file declares, as a tree in the order of the text. Empty where there is no such file. */
export function outlineOf(site: Site, file: string): OutlineItem[] {
  const document = site.documentOf(file);
  return document ? itemsIn(document, document.parseResult.value) : [];
}

function itemsIn(document: LangiumDocument, node: AstNode): OutlineItem[] {
  return AstUtils.streamContents(node)
    .toArray()
    .flatMap((child) => itemOf(document, child) ?? itemsIn(document, child));
}

interface Told {
  readonly name?: string;
  readonly title?: string;
  readonly event?: string;
  readonly timer?: { readonly $refText: string };
  readonly label?: string;
}

function itemOf(document: LangiumDocument, node: AstNode): OutlineItem | undefined {
  const kind = KINDS[node.$type];
  const range = node.$cstNode;
  if (!kind || !range) return undefined;
  const { name, title, event, timer, label } = node as AstNode & Told;
  const words = /^[^\s{"]+/.exec(range.text)?.[0] ?? node.$type;
  const named = GrammarUtils.findNodeForProperty(range, name === undefined ? "title" : "name");
  const isHandler = node.$type.startsWith("When");
  const told = name ?? event ?? timer?.$refText ?? title;
  return {
    name: isHandler ? `${words} ${told}` : told || words,
    detail: (name === undefined ? undefined : title) ?? label ?? (told && !isHandler ? words : ""),
    kind,
    origin: originOfRange(document, range),
    nameOrigin: originOfRange(document, named ?? { offset: range.offset, end: range.offset + words.length }),
    children: itemsIn(document, node),
  };
}
