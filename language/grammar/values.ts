import { type CstNode, DefaultValueConverter, type GrammarAST, type ValueType } from "langium";
import { removeQuotes } from "./texts.ts";

/** Takes the quotes off a text; every other token stays as it is written, for lowering to read. */
export class LimbValueConverter extends DefaultValueConverter {
  protected override runConverter(rule: GrammarAST.AbstractRule, input: string, _node: CstNode): ValueType {
    return rule.name === "STRING" ? removeQuotes(input) : input;
  }
}
