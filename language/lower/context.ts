import type { Origin, Repair } from "@limbwright/shared/finding";
import {
  type AstNode,
  AstUtils,
  GrammarUtils,
  type LangiumDocument,
  type Reference,
  type URI,
} from "langium";
import { isDose, isProtocol } from "../grammar/generated/ast.ts";
import { nodesIn } from "../grammar/nodes.ts";
import type { Agent, LocalRules, Problem } from "../model/index.ts";
import { canonicalName, closestName } from "../model/spelling.ts";
import { writeInstead } from "../model/text-changes.ts";

/** What several files share, by its node, with what was wrong in it: its own file reports that, read first or last. */
type LoweredOnce<T> = WeakMap<AstNode, { readonly value: T; readonly problems: readonly Problem[] }>;

/** What the lowering of a set of files shares. */
export interface LoweringContext {
  readonly fileOf: (uri: URI) => string;
  /** Agents and local rules by their node, lowered once however many protocols use them. */
  readonly agents: LoweredOnce<Agent>;
  readonly localRules: LoweredOnce<LocalRules>;
  /** Words that stand in statements that were not understood, by file: a name among them is not missing. */
  readonly unreadWords: (document: LangiumDocument) => ReadonlySet<string>;
}

/** The lowering of a file: where its problems go, and where things stand in it. */
export class Lowering {
  readonly context: LoweringContext;
  readonly problems: Problem[] = [];
  /** Counts what was left out because it could not be understood: what is absent then proves nothing. */
  readonly gaps: { count: number };

  constructor(context: LoweringContext, gaps = { count: 0 }) {
    this.context = context;
    this.gaps = gaps;
  }

  /** The same, but its problems are its own: those of a routine are reported where it is declared, not at each `do`. */
  quiet(): Lowering {
    return new Lowering(this.context, this.gaps);
  }

  once<T>(known: LoweredOnce<T>, node: AstNode, lower: (own: Lowering) => T) {
    const earlier = known.get(node);
    if (earlier) return earlier;
    const own = new Lowering(this.context);
    const once = { value: lower(own), problems: own.problems };
    known.set(node, once);
    return once;
  }

  report(problem: Problem): void {
    this.problems.push(problem);
  }

  /**
   * Whether something inside was left out while `lower` worked; in a syntax tree that was read well it is
   * because of a name, a word or a value that could not be understood.
   */
  withGaps<T>(lower: () => T): { readonly value: T; readonly gaps: boolean } {
    const before = this.gaps.count;
    const value = lower();
    return { value, gaps: this.gaps.count > before };
  }

  /** That something is said again; only the first is read. */
  reportTwice(what: string, origin: Origin, first: Origin): void {
    this.report({
      rule: "statement-twice",
      origin,
      what: `${what} is said twice; only the first is read.`,
      label: "said a second time",
      next: "Remove one of the two.",
      related: [{ origin: first, note: "first said here" }],
    });
  }

  /** Where a node is written. A node the parser filled in without text has the place of its container. */
  originOf(node: AstNode): Origin {
    let holder: AstNode | undefined = node;
    while (holder && !holder.$cstNode) holder = holder.$container;
    const { offset = 0, end = 0 } = holder?.$cstNode ?? {};
    return this.originOfOffsets(AstUtils.getDocument(node), offset, end);
  }

  /** Where a property of a node is written; where the whole node is, when the property has no text. */
  originOfProperty(node: AstNode, property: string, index?: number): Origin {
    const found = GrammarUtils.findNodeForProperty(node.$cstNode, property, index);
    return found
      ? this.originOfOffsets(AstUtils.getDocument(node), found.offset, found.end)
      : this.originOf(node);
  }

  /** Where a word of the language stands in a node; the whole node when it is not there. */
  originOfKeyword(node: AstNode, keyword: string): Origin {
    const found = GrammarUtils.findNodeForKeyword(node.$cstNode, keyword);
    return found
      ? this.originOfOffsets(AstUtils.getDocument(node), found.offset, found.end)
      : this.originOf(node);
  }

  /** The first line of a node, without the brace that opens its block: enough to point at a section. */
  originOfHeading(node: AstNode): Origin {
    const whole = this.originOf(node);
    const document = AstUtils.getDocument(node);
    const text = document.textDocument.getText();
    const line = /[^\r\n{]*/y;
    line.lastIndex = whole.start.offset;
    const heading = (line.exec(text)?.[0] ?? "").trimEnd();
    return this.originOfOffsets(
      document,
      whole.start.offset,
      whole.start.offset + Math.max(heading.length, 1),
    );
  }

  originOfOffsets(document: LangiumDocument, start: number, end: number): Origin {
    const place = (offset: number) => {
      const { line, character } = document.textDocument.positionAt(offset);
      return { line: line + 1, column: character + 1, offset };
    };
    return { file: this.context.fileOf(document.uri), start: place(start), end: place(end) };
  }

  /**
   * The node a name stands for. An unknown name is reported, with what was probably meant where that is
   * close; it is not when the name may be declared in text that could not be read.
   */
  resolve<N extends AstNode, P extends keyof N & string>(
    node: N,
    property: P,
    kind: string,
    candidates: () => Iterable<string>,
  ): Referred<NonNullable<N[P]>> | undefined {
    const reference = node[property] as Reference<Referred<NonNullable<N[P]>>> | undefined;
    if (!reference) return undefined;
    if (reference.ref) {
      this.reportCapitals(node, property, reference);
      return reference.ref;
    }
    this.gaps.count += 1;
    const name = reference.$refText;
    if (this.context.unreadWords(AstUtils.getDocument(node)).has(name)) return undefined;
    const origin = this.originOfProperty(node, property);
    const dosesOfIt = kind.startsWith("dose") ? dosesOf(name, node) : [];
    const near = dosesOfIt.length === 1 ? dosesOfIt[0] : closestName(name, candidates());
    this.report({
      rule: "name-unknown",
      origin,
      what:
        dosesOfIt.length > 0
          ? `\`${name}\` is the name of an agent; here stands the name of a dose.`
          : `No ${kind} is called \`${name}\`.`,
      label: `not declared`,
      ...suggestion(
        origin,
        near,
        kind === "timer" ? nextWithoutTimer(name, node, candidates()) : nextWithout(candidates()),
      ),
    });
    return undefined;
  }

  /** A name that is found although its use has capitals is reported where it is used. */
  private reportCapitals<T extends AstNode>(
    node: AstNode,
    property: string,
    { $refText: written, ref }: Reference<T>,
  ): void {
    const declared = (ref as { readonly name?: string } | undefined)?.name;
    if (!declared || written === declared || !/[A-Z]/.test(written)) return;
    const origin = this.originOfProperty(node, property);
    this.reportOtherCase(origin, declared, `\`${written}\` is declared as \`${declared}\`.`);
  }

  private reportOtherCase(origin: Origin, right: string, what: string): void {
    this.report({
      rule: "name-badly-written",
      origin,
      what,
      label: `write ${right}`,
      ...correction(origin, right, "safe"),
    });
  }

  /**
   * A word that has to be one of a known list; reported with the list's nearest, or all of a short list. One
   * that is not written at all is the parser's to report.
   */
  checkWord<T extends string>(
    origin: Origin,
    written: string | undefined,
    known: readonly T[],
    kind: string,
    otherwise?: string,
  ): T | undefined {
    if (!written) return undefined;
    const found = known.find((word) => word === written);
    if (found) return found;
    const inLowerCase = known.find((word) => word === written.toLowerCase());
    if (inLowerCase) {
      this.reportOtherCase(origin, inLowerCase, `\`${written}\` is written in lower case.`);
      return inLowerCase;
    }
    this.gaps.count += 1;
    const list = known.map((word) => `\`${word}\``).join(", ");
    this.report({
      rule: "word-not-known",
      origin,
      what: `\`${written}\` is not ${kind} the language knows.`,
      label: "not known",
      ...suggestion(origin, closestName(written, known), otherwise ?? `Write one of ${list}.`),
    });
    return undefined;
  }
}

/** What a reference of the syntax tree stands for. */
type Referred<R> = R extends Reference<infer T> ? T : never;

/** What to do next: to write other words in this place. */
export function correction(origin: Origin, text: string, safety: Repair["safety"]) {
  return { next: `Write \`${text}\`.`, repairs: writeInstead(origin, text, safety) };
}

/** What to do next: to write what was probably meant, where that is known. */
export function suggestion(origin: Origin, near: string | undefined, otherwise: string) {
  return near
    ? { next: `Did you mean \`${near}\`?`, repairs: writeInstead(origin, near) }
    : { next: otherwise, repairs: [] };
}

/** Whether one of some statements was not understood: another that seems to be missing may be that one. */
export function hasUnread(statements: readonly AstNode[]): boolean {
  return statements.some((statement) => statement.$type === "Unknown");
}

/** The doses of an agent in the protocol around a node: what its name may have meant where a dose's is needed. */
function dosesOf(agent: string, node: AstNode): string[] {
  const protocol = AstUtils.getContainerOfType(node, isProtocol);
  if (!protocol) return [];
  return nodesIn(protocol)
    .filter(isDose)
    .filter((dose) => canonicalName(dose.agent?.$refText ?? "") === canonicalName(agent))
    .map(({ name }) => name)
    .filter(Boolean);
}

/** How a timer is written that is waited for and stands nowhere: from the end of what is given first. */
function nextWithoutTimer(name: string, node: AstNode, declared: Iterable<string>): string {
  const protocol = AstUtils.getContainerOfType(node, isProtocol);
  if (!protocol) {
    return "A routine of a file of its own knows no timers: wait in the protocol, before it does the routine.";
  }
  const dose = nodesIn(protocol).find(isDose)?.name ?? "local";
  const example = `\`timer ${name} from end of ${dose} { at least 30 min }\`, on three lines`;
  const others = [...new Set(declared)].filter(Boolean).map((one) => `\`${one}\``);
  const another =
    others.length > 0 && others.length <= MOST_NAMES
      ? `, or name one that is declared: ${others.join(", ")}`
      : "";
  return `Write it in the protocol, as in ${example}${another}.`;
}

/** How many declared names a message lists. */
const MOST_NAMES = 5;

function nextWithout(candidates: Iterable<string>): string {
  const names = [...new Set(candidates)].filter(Boolean);
  if (names.length === 0 || names.length > MOST_NAMES) return "Declare it, or name one that is declared.";
  return `Declare it, or name one that is declared: ${names.map((name) => `\`${name}\``).join(", ")}.`;
}
