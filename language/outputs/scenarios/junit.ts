import { CAUTION } from "@limbwright/shared/text";
import type { ScenarioResult } from "../../scenarios/result.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";
import type { Unread } from "../findings/tally.ts";
import type { TextOptions } from "../findings/text-finding.ts";
import { countText, placeText } from "../findings/words.ts";
import { scenarioLines } from "./text.ts";

export interface JunitOptions {
  readonly textOf: TextOptions["textOf"];
  readonly unread: readonly Unread[];
}

/**
 * What scenarios came to, in the XML of JUnit's reports, which programs for continuous integration read. There is no published
 * standard of it; elements and attributes are those in common use. A suite for each file, a case for each scenario. What is not decided is an error there, so that nobody counts it as passed or
 * as left out; so are errors in a file, and a file that could not be read.
 */
export function scenariosJunit(files: readonly FileScenarios[], { textOf, unread }: JunitOptions): string {
  const told = files.map((file): Suite => [file.file, casesOf(file, textOf)]);
  const lost = unread.map(({ file, what, next }): Suite => {
    const attributes = { name: "the file can be read", classname: file };
    return [file, [testCase(attributes, [problem("error", what, next)])]];
  });
  const suites = [...told.filter(([, cases]) => cases.length > 0), ...lost];
  const all = countCases(suites.flatMap(([, cases]) => cases));
  const children = suites.map(suiteElement);
  return xmlDocument({ name: "testsuites", attributes: { name: "limb test", ...all }, children });
}

type Suite = readonly [name: string, cases: readonly XmlElement[]];

function suiteElement([name, cases]: Suite): XmlElement {
  const caution: XmlElement = {
    name: "properties",
    children: [{ name: "property", attributes: { name: "caution", value: CAUTION } }],
  };
  const attributes = { name, ...countCases(cases) };
  return { name: "testsuite", attributes, children: [caution, ...cases] };
}

function countCases(cases: readonly XmlElement[]) {
  const countWith = (kind: "failure" | "error") =>
    cases.filter(({ children = [] }) =>
      children.some((child) => typeof child !== "string" && child.name === kind),
    ).length;
  return { tests: cases.length, failures: countWith("failure"), errors: countWith("error") };
}

function casesOf({ file, errors, results }: FileScenarios, textOf: JunitOptions["textOf"]): XmlElement[] {
  const told = results.map((result) => caseOf(result, textOf));
  if (errors.length === 0) return told;
  const message = `${countText(errors.length, "error")} in the text: no scenario of it is decided; one may not even have been recognised.`;
  const where = errors.map(({ what, origin }) => `${placeText(origin)} ${what}`).join("\n");
  const understood = { name: "the text is understood", classname: file };
  return [testCase(understood, [problem("error", message, where)]), ...told];
}

function caseOf(result: ScenarioResult, textOf: JunitOptions["textOf"]): XmlElement {
  const { title, protocol, origin, outcome } = result;
  const attributes = { name: title, classname: protocol, file: origin.file, line: origin.start.line };
  if (outcome === "passed") return testCase(attributes, []);
  const told = scenarioLines(result, { colour: false, width: WIDTH, verbose: false, textOf })
    .join("\n")
    .trimEnd();
  return testCase(attributes, [problem(outcome === "failed" ? "failure" : "error", messageOf(result), told)]);
}

/** The first expectation that did not pass, in one line. */
function messageOf({ outcome, limit, lines }: ScenarioResult): string {
  const [first] = lines.flatMap((line) => (line.outcome === outcome ? [line] : []));
  if (limit !== undefined) return `Not decided: ${limit}`;
  if (first?.outcome === "failed") return `Expected ${first.expected}; found: ${first.found}`;
  return `Not decided: ${first?.outcome === "not-decided" ? first.limit : ""}`;
}

function testCase(
  attributes: NonNullable<XmlElement["attributes"]>,
  children: readonly XmlElement[],
): XmlElement {
  return { name: "testcase", attributes, children };
}

function problem(kind: "failure" | "error", message: string, told: string): XmlElement {
  const type = kind === "failure" ? "failed" : "not-decided";
  return { name: kind, attributes: { type, message }, children: [told] };
}

const WIDTH = 100;

/** An element of an XML document. Texts stand in it as they are: no character of them is ever markup. */
export interface XmlElement {
  readonly name: string;
  readonly attributes?: Readonly<Record<string, string | number>>;
  readonly children?: readonly (XmlElement | string)[];
}

/** A whole XML 1.0 document, its elements indented. */
export function xmlDocument(root: XmlElement): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${elementText(root, "")}`;
}

function elementText({ name, attributes = {}, children = [] }: XmlElement, indent: string): string {
  const start = Object.entries(attributes).map(([key, value]) => ` ${key}="${attributeText(`${value}`)}"`);
  const open = `${indent}<${name}${start.join("")}`;
  if (children.length === 0) return `${open}/>\n`;
  const isText = children.some((child) => typeof child === "string");
  const inside = children.map((child) =>
    typeof child === "string" ? escapeText(child) : elementText(child, isText ? "" : `${indent}  `),
  );
  return isText
    ? `${open}>${inside.join("")}</${name}>\n`
    : `${open}>\n${inside.join("")}${indent}</${name}>\n`;
}

/** A reader of XML makes spaces of line ends and tabs in an attribute, unless they are written as references. */
function attributeText(text: string): string {
  return escapeText(text).replace(/[\t\n]/g, (character) => `&#${character.charCodeAt(0)};`);
}

const REFERENCES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&apos;",
  "\r": "&#13;",
};

function escapeText(text: string): string {
  return text
    .replace(NO_CHARACTER, "\ufffd")
    .replace(/[&<>"'\r]/g, (character) => REFERENCES[character] ?? "");
}

/** What is no `Char` of XML 1.0 (W3C Recommendation, fifth edition, section 2.2) cannot be written, not even as a reference. */
const NO_CHARACTER = /(?![\t\n\r\u007f-\u009f])\p{Cc}|[\ufffe\uffff]|\p{Surrogate}/gu;
