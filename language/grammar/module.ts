import {
  type CstNode,
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  DefaultServiceRegistry,
  DefaultValueConverter,
  EmptyFileSystem,
  type GrammarAST,
  inject,
  type LangiumCoreServices,
  type LangiumSharedCoreServices,
  type Module,
  type PartialLangiumCoreServices,
  type PartialLangiumSharedCoreServices,
  type ValueType,
} from "langium";
import { ErrorBudget } from "./error-budget.ts";
import { LimbGeneratedModule, LimbGeneratedSharedModule } from "./generated/module.ts";
import { createGuardedParser } from "./guarded-parser.ts";
import { LimbLexerWords, LimbParserWords } from "./parse-error-words.ts";
import { LimbScopeComputation, LimbScopeProvider } from "./scopes.ts";
import { removeQuotes } from "./texts.ts";
import { LimbTokenBuilder } from "./tokens.ts";

/** The services of the language, without those of an editor. */
export interface LimbServices {
  readonly shared: LangiumSharedCoreServices;
  readonly limb: LangiumCoreServices;
}

/** What the language puts in place of Langium's own services; an editor's services take it up too. */
const LimbModule: Module<LangiumCoreServices, PartialLangiumCoreServices> = {
  parser: {
    TokenBuilder: () => new LimbTokenBuilder(),
    LangiumParser: (services) => createGuardedParser(services),
    ValueConverter: () => new LimbValueConverter(),
    ParserErrorMessageProvider: () => new ErrorBudget(new LimbParserWords()),
    LexerErrorMessageProvider: () => new LimbLexerWords(),
  },
  references: {
    ScopeComputation: (services) => new LimbScopeComputation(services),
    ScopeProvider: (services) => new LimbScopeProvider(services),
  },
};

/** A file is read as a protocol whatever its name ends in: a `use` may name any file. */
class OnlyLimb extends DefaultServiceRegistry {
  override getServices(): LangiumCoreServices {
    const [limb] = this.all;
    if (!limb) throw new Error("the services of the language are not registered yet");
    return limb;
  }
}

const OnlyLimbModule: Module<LangiumSharedCoreServices, PartialLangiumSharedCoreServices> = {
  ServiceRegistry: (shared) => new OnlyLimb(shared),
};

/** Makes a set of services of its own: nothing is shared between two calls. */
export function createLimbServices(): LimbServices {
  const shared = inject(
    createDefaultSharedCoreModule(EmptyFileSystem),
    LimbGeneratedSharedModule,
    OnlyLimbModule,
  );
  const limb = inject(createDefaultCoreModule({ shared }), LimbGeneratedModule, LimbModule);
  shared.ServiceRegistry.register(limb);
  return { shared, limb };
}

/** Takes the quotes off a text; every other token stays as it is written, for lowering to read. */
class LimbValueConverter extends DefaultValueConverter {
  protected override runConverter(rule: GrammarAST.AbstractRule, input: string, _node: CstNode): ValueType {
    return rule.name === "STRING" ? removeQuotes(input) : input;
  }
}
