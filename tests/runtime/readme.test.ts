import { readFileSync } from "node:fs";
import { join } from "node:path";
import { runInNewContext } from "node:vm";
import * as ruleFile from "@limbwright/shared/rule-file";
import * as runtime from "@limbwright/shared/runtime";
import { expect, test } from "vitest";
import { baseTexts, textFrom } from "../language/rule-file/compiled.ts";

const README = readFileSync(join(import.meta.dirname, "../../shared/runtime/README.md"), "utf8");
const example = /```js\n(.*?)```/s.exec(README)?.[1] ?? "";

test("the example of the README runs as it stands, and says what its comments say", () => {
  const code = example.replace(/^import \{(.*)\} from "(.*)";$/gm, "const {$1} = modules['$2'];");
  const expected = [...example.matchAll(/^say\(.*\); \/\/ (.*)$/gm)].map(([, comment = ""]) => comment);
  const said: string[] = [];
  const draft = baseTexts().get("protocol.limb") ?? "";
  const approved = draft.replace("status    draft", 'status    approved by "Drugs committee" on 2026-09-14');
  runInNewContext(code, {
    modules: { "@limbwright/shared/rule-file": ruleFile, "@limbwright/shared/runtime": runtime },
    text: textFrom(baseTexts({ "protocol.limb": approved })),
    say: (value: unknown) => said.push(String(value)),
  });
  expect(said.length).toBeGreaterThan(8);
  expect(expected.map((comment, at) => comment.startsWith(said[at] ?? "nothing"))).toEqual(
    said.map(() => true),
  );
  expect(expected).toHaveLength(said.length);
});
