import { readFileSync } from "node:fs";
import { join } from "node:path";
import { DOMParser, type Element } from "@xmldom/xmldom";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { xmlDocument } from "../../language/outputs/scenarios/junit.ts";
import { firstSeed, howMany } from "../questions.ts";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

/** Reads a document with a parser from outside; throws on whatever it finds wrong. It warns of U+FFFD, which is none of that. */
function parsed(xml: string): Element {
  const strict = (level: string, message: string) => {
    if (message.startsWith("Unicode replacement character")) return;
    throw new Error(`${level}: ${message}`);
  };
  const root = new DOMParser({ onError: strict }).parseFromString(xml, "text/xml").documentElement;
  if (!root) throw new Error("the document has no element");
  return root;
}

const all = (root: Element, name: string) => [...root.getElementsByTagName(name)];
const attribute = (name: string) => (element: Element) => element.getAttribute(name);

const SCENARIOS = `use "wrist.limb"

scenario "Surgery & <everything> 'ends' early" for wrist {
  patient weight 60 kg
  expect dose local is 180 mg
}
scenario "Less than \`3\` < 4 & more" for wrist {
  patient weight 60 kg
  expect dose local is 200 mg
}
scenario "A child" for wrist {
  patient weight 20 kg
  expect dose local is 60 mg
}
`;

async function junit(files: Readonly<Record<string, string | Uint8Array>>, given: readonly string[] = []) {
  const folder = folderWith({ "formulary.limb": FORMULARY, "wrist.limb": cleanProtocol(), ...files });
  const ran = await runLimb(folder, ["test", ...given, "--junit", "results.xml"]);
  return { ...ran, root: parsed(readFileSync(join(folder, "results.xml"), "utf8")) };
}

describe("limb test --junit", () => {
  test("writes a case for each scenario: passed, failed, or in error where it is not decided", async () => {
    const { code, out, root } = await junit({ "cases.limb": SCENARIOS });
    const [passed, failed, open] = all(root, "testcase");
    expect(code).toBe(1);
    expect(out).toContain("1 failed; 1 not decided, which is not a pass; 1 passed");
    expect([root.tagName, ...["tests", "failures", "errors"].map((name) => root.getAttribute(name))]).toEqual(
      ["testsuites", "3", "1", "1"],
    );
    expect(passed && [passed.getAttribute("name"), passed.textContent]).toEqual([
      "Surgery & <everything> 'ends' early",
      "",
    ]);
    expect(failed && all(failed, "failure").map(attribute("message"))).toEqual([
      "Expected `local` is 200 mg; found: `local` is 180 mg",
    ]);
    expect(failed?.textContent).toContain("  expect dose local is 200 mg\n");
    expect(open && all(open, "error").map(attribute("message"))).toEqual([
      expect.stringContaining("Not decided: The patient's body weight is 20 kg"),
    ]);
  });

  test("names for each the file, the line and the protocol, and carries the caution", async () => {
    const { root } = await junit({ "cases.limb": SCENARIOS });
    const [suite] = all(root, "testsuite");
    expect(suite && attribute("name")(suite)).toBe("cases.limb");
    expect(
      all(root, "testcase").map((one) => ["file", "line", "classname"].map((name) => attribute(name)(one))),
    ).toEqual([3, 7, 11].map((line) => ["cases.limb", `${line}`, "wrist"]));
    expect(all(root, "property").map(attribute("value"))).toEqual([
      expect.stringContaining("not a medical device"),
    ]);
  });

  test("has a case in error for a file with errors, though no scenario in it is recognised, and for one that cannot be read", async () => {
    const { code, root } = await junit({
      "cases.limb":
        'use "wrist.limb"\n\nscenaro "Not recognised" for wrist {\n  expect apply cuffs allowed\n}\n',
      "other.limb": Buffer.from([0xff, 0xfe, 0x61, 0x00]),
    });
    expect(code).toBe(2);
    expect(root.getAttribute("errors")).toBe(root.getAttribute("tests"));
    expect(all(root, "testcase").map((one) => [attribute("classname")(one), attribute("name")(one)])).toEqual(
      [
        ["cases.limb", "the text is understood"],
        ["other.limb", "the file can be read"],
      ],
    );
  });

  test("says that nothing passed where there is no scenario", async () => {
    const { code, root } = await junit({}, ["wrist.limb"]);
    expect(code).toBe(2);
    expect(all(root, "testcase").length).toBe(all(root, "error").length);
    expect(all(root, "error").length).toBe(1);
  });

  test("is told when it cannot be written, with the exit code 2", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "wrist.limb": cleanProtocol(),
      "cases.limb": replaced(SCENARIOS, "200 mg", "180 mg"),
    });
    const { code, err } = await runLimb(folder, ["test", "cases.limb", "--junit", "lost/results.xml"]);
    expect(code).toBe(2);
    expect(err).toContain("lost/results.xml");
  });
});

/** `Char` as XML 1.0 defines it: W3C Recommendation, fifth edition, section 2.2, production 2. */
function isChar(character: string): boolean {
  const code = character.codePointAt(0) ?? 0;
  const isControl = code < 0x20 && ![0x9, 0xa, 0xd].includes(code);
  return !isControl && !(code >= 0xd800 && code <= 0xdfff) && code !== 0xfffe && code !== 0xffff;
}

test("whatever texts stand in a document, a reader of XML finds them as they were, or marked where XML cannot hold them", () => {
  const text = fc.string({
    unit: fc.oneof(fc.constantFrom(..."<>&\"'\t\n\r]\u0000\u0008\ufffe"), fc.string()),
  });
  const held = (one: string) =>
    [...one].map((character) => (isChar(character) ? character : "\ufffd")).join("");
  fc.assert(
    fc.property(text, text, (value, content) => {
      const inside = { name: "inside", attributes: { value }, children: [content] };
      const [element] = all(parsed(xmlDocument({ name: "whole", children: [inside] })), "inside");
      expect(element?.getAttribute("value")).toBe(held(value));
      expect(element?.textContent).toBe(held(content));
    }),
    { seed: firstSeed(), numRuns: howMany(1_000) },
  );
});
