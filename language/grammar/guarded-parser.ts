import type { AstNode, LangiumCoreServices, LangiumParser, ParseResult, ParserOptions } from "langium";
import { TooManyErrors } from "./error-budget.ts";
import type { Document } from "./generated/ast.ts";
import { nodesIn } from "./nodes.ts";
import { createLimbParser } from "./parser.ts";
import { errorAt } from "./refusal.ts";

/** A hospital's whole formulary with its routines and protocols has a few dozen. */
const MOST_DECLARATIONS = 2_000;

/** Blocks within blocks take about three nodes each; the rest is for amounts and conditions. */
const DEEPEST_TREE = 200;

/**
 * The parser of the language, which gives an answer for any text. Where a tree would be too deep for
 * whatever reads it (or for the stack), or errors are so many that the text is
 * something else, the answer is an empty document with one error that says so.
 */
export function createGuardedParser(services: LangiumCoreServices): LangiumParser {
  const parser = createLimbParser(services);
  let parse = parser.parse.bind(parser) as LangiumParser["parse"];
  const refuse = (error: ReturnType<typeof errorAt>, options?: ParserOptions): ParseResult => ({
    ...parse("", options),
    parserErrors: [error],
  });
  parser.parse = ((text: string, options?: ParserOptions) => {
    try {
      const result = parse(text, options);
      const first = (result.value as Document).elements[MOST_DECLARATIONS];
      if (first) return refuse(errorAt(first.$cstNode?.offset ?? 0, TOO_MANY_DECLARATIONS), options);
      const tooDeep = placeTooDeep(result.value);
      return tooDeep === undefined ? result : refuse(errorAt(tooDeep, TOO_DEEP), options);
    } catch (error) {
      // A parser that was interrupted is in no state to read on.
      const fresh = createLimbParser(services);
      parse = fresh.parse.bind(fresh) as LangiumParser["parse"];
      if (error instanceof TooManyErrors) return refuse(errorAt(error.offset, TOO_MANY_ERRORS), options);
      if (error instanceof RangeError) return refuse(errorAt(0, TOO_DEEP), options);
      throw error;
    }
  }) as LangiumParser["parse"];
  return parser;
}

const TOO_MANY_DECLARATIONS =
  "The file has more than 2\u202f000 declarations, so it is not read.\n" +
  "Split it: one protocol a file, and what several share in files of their own that they `use`.";

const TOO_DEEP =
  "Blocks, amounts or conditions are nested too deep here, so the file is not read.\n" +
  "Close the blocks that are still open, and write a long amount or condition as several shorter ones.";

const TOO_MANY_ERRORS =
  "From here on too many lines cannot be understood, so the file is not read.\n" +
  "Check that this is a protocol file; if it is, mend the first lines and check it again.";

/** The offset of the first node that is too deep in the tree. */
function placeTooDeep(root: AstNode): number | undefined {
  const depths = new WeakMap<AstNode, number>();
  for (const node of nodesIn(root)) {
    const depth = (node.$container ? (depths.get(node.$container) ?? 0) : 0) + 1;
    if (depth > DEEPEST_TREE) return node.$cstNode?.offset ?? 0;
    depths.set(node, depth);
  }
  return undefined;
}
