import { existsSync, readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { Site } from "@limbwright/language";
import { type ColouredToken, colourTokens, isKeyword } from "@limbwright/language/editor";
import { beforeAll, expect, test } from "vitest";
import oniguruma from "vscode-oniguruma";
import textmate from "vscode-textmate";
import { textsBelow } from "../../.development/workbench/serve.mjs";
import { textMateGrammar } from "../../extension/language/text-mate-grammar.ts";

const ROOT = join(import.meta.dirname, "../..");
const EXAMPLES = textsBelow(join(ROOT, "examples/tarn-hollow"));
const RULES = join(ROOT, "language/rules");

/** What an editor would colour alike: the scope's beginning by what the server says of a token. */
const SCOPES: Readonly<Partial<Record<ColouredToken["kind"], string>>> = {
  comment: "comment.",
  keyword: "keyword.",
  number: "constant.numeric.",
  text: "string.",
};

let grammar: textmate.IGrammar;

/** The engine by which the editor reads such grammars, and its regular expressions. */
beforeAll(async () => {
  const wasm = join(dirname(createRequire(import.meta.url).resolve("vscode-oniguruma")), "onig.wasm");
  await oniguruma.loadWASM(readFileSync(wasm));
  const registry = new textmate.Registry({
    onigLib: Promise.resolve({
      createOnigScanner: (patterns) => new oniguruma.OnigScanner(patterns),
      createOnigString: (text) => new oniguruma.OnigString(text),
    }),
    loadGrammar: async () => textmate.parseRawGrammar(JSON.stringify(textMateGrammar()), "limb.json"),
  });
  const loaded = await registry.loadGrammar("source.limb");
  if (!loaded) throw new Error("the grammar cannot be read");
  grammar = loaded;
});

/** The innermost scope of each character of a text. */
function scopesOf(text: string): string[] {
  const scopes: string[] = [];
  let state = textmate.INITIAL;
  for (const line of text.split("\n")) {
    const { tokens, ruleStack } = grammar.tokenizeLine(line, state);
    state = ruleStack;
    for (const { startIndex, endIndex, scopes: of } of tokens) {
      for (let index = startIndex; index < endIndex; index += 1) scopes.push(of.at(-1) ?? "");
    }
    scopes.length = scopes.length - Math.max(0, (tokens.at(-1)?.endIndex ?? 0) - line.length);
    scopes.push("");
  }
  return scopes;
}

/** Where the colour by regular expressions is another than the server's. */
function differences(file: string, text: string): string[] {
  const scopes = scopesOf(text);
  return colourTokens(new Site((one) => (one === file ? text : EXAMPLES[one])), file).flatMap(
    ({ kind, origin: { start, end } }) => {
      const words = text.slice(start.offset, end.offset);
      const found = [...new Set(scopes.slice(start.offset, end.offset))];
      const isFit = (scope: string) => {
        const wanted = SCOPES[kind];
        return wanted === undefined
          ? !Object.values(SCOPES).some((one) => scope.startsWith(one))
          : scope.startsWith(wanted);
      };
      return found.every(isFit) ? [] : [`${file}:${start.line} ${words} is ${kind}: ${found.join(" ")}`];
    },
  );
}

test.each(Object.entries(EXAMPLES))(
  "%s is coloured by regular expressions as by the server",
  (file, text) => {
    expect(differences(file, text)).toEqual([]);
  },
);

test("and so are examples on the pages of the rules", { timeout: 60_000 }, () => {
  const pages = readdirSync(RULES, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  const texts = pages.flatMap(({ name }) =>
    existsSync(join(RULES, name, "page.md"))
      ? [...readFileSync(join(RULES, name, "page.md"), "utf8").matchAll(/```limb.*\n([\s\S]*?)```/g)]
      : [],
  );
  expect(texts.length).toBeGreaterThan(100);
  // One in four says as much as all, in a quarter of the time.
  const some = texts.filter((_, index) => index % 4 === 0);
  expect(some.flatMap(([, text = ""], index) => differences(`example-${index}.limb`, text))).toEqual([]);
});

test("every word of the language is coloured as one, alone, but not in a name", () => {
  const words = "protocol deflate bandage until occlusion-pressure iv-access".split(" ");
  expect(words.every(isKeyword)).toBe(true);
  for (const word of words) {
    expect(scopesOf(`  ${word} `)[2]).toBe("keyword.control.limb");
    expect(scopesOf(`  my-${word} `)[5]).toBe("source.limb");
    expect(scopesOf(`  ${word}-two `)[2]).toBe("source.limb");
  }
});
