import {
  type CstNode,
  createDefaultCoreModule,
  createDefaultSharedCoreModule,
  DefaultLinker,
  DefaultServiceRegistry,
  DefaultValueConverter,
  EmptyFileSystem,
  type GrammarAST,
  inject,
  type LangiumCoreServices,
  type LangiumParser,
  type LangiumSharedCoreServices,
  type Linker,
  type Module,
  type ParserOptions,
  type PartialLangiumCoreServices,
  type PartialLangiumSharedCoreServices,
  type Reference,
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

/** What the language puts in place of Langium's own services. */
const LimbModule: Module<LangiumCoreServices, PartialLangiumCoreServices> = {
  parser: {
    LangiumParser: ({ references }) => borrowParser(references),
    Lexer: () => takeReader().limb.parser.Lexer,
  },
  references: {
    ScopeComputation: (services) => new LimbScopeComputation(services),
    ScopeProvider: (services) => new LimbScopeProvider(services),
  },
};

/** What reads a text. */
const ReadingModule: Module<LangiumCoreServices, PartialLangiumCoreServices> = {
  parser: {
    TokenBuilder: () => new LimbTokenBuilder(),
    LangiumParser: (services) => createGuardedParser(services),
    ValueConverter: () => new LimbValueConverter(),
    ParserErrorMessageProvider: () => new ErrorBudget(new LimbParserWords()),
    LexerErrorMessageProvider: () => new LimbLexerWords(),
  },
  references: {
    Linker: (services) => new LinkerInUse(services),
  },
};

/** What a name refers to is asked of the services that read. */
class LinkerInUse extends DefaultLinker {
  linker: Linker | undefined;

  override buildReference(...given: Parameters<Linker["buildReference"]>): Reference {
    if (!this.linker) throw new Error("a text is read for no services");
    return this.linker.buildReference(...given);
  }
}

/**
 * One parser reads for all services, one text after another: to make one takes twenty times as long as to read a protocol. Of
 * a text, and of the services it was read for, it keeps only what the next one replaces.
 */
let reader: LimbServices | undefined;

function takeReader(): LimbServices {
  reader ??= createServices(ReadingModule);
  return reader;
}

function borrowParser(references: LangiumCoreServices["references"]): LangiumParser {
  const { parser, references: own } = takeReader().limb;
  const inUse = own.Linker as LinkerInUse;
  const parse = ((text: string, options?: ParserOptions) => {
    inUse.linker = references.Linker;
    return parser.LangiumParser.parse(text, options);
  }) as LangiumParser["parse"];
  return Object.create(parser.LangiumParser, { parse: { value: parse } });
}

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

/** Makes a set of services of its own: two share nothing but what reads. */
export function createLimbServices(): LimbServices {
  return createServices(LimbModule);
}

function createServices(module: Module<LangiumCoreServices, PartialLangiumCoreServices>): LimbServices {
  const shared = inject(
    createDefaultSharedCoreModule(EmptyFileSystem),
    LimbGeneratedSharedModule,
    OnlyLimbModule,
  );
  const limb = inject(createDefaultCoreModule({ shared }), LimbGeneratedModule, module);
  shared.ServiceRegistry.register(limb);
  return { shared, limb };
}

/** Takes the quotes off a text; every other token stays as it is written, for lowering to read. */
class LimbValueConverter extends DefaultValueConverter {
  protected override runConverter(rule: GrammarAST.AbstractRule, input: string, _node: CstNode): ValueType {
    return rule.name === "STRING" ? removeQuotes(input) : input;
  }
}
