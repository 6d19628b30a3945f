import { CAUTION } from "@limbwright/shared/text";
import type { ScenarioResult } from "../../scenarios/result.ts";
import type { FileScenarios } from "../../scenarios/scenario-results.ts";
import type { Unread } from "../findings/report.ts";
import type { TextOptions } from "../findings/text-finding.ts";
import { countText, placeText } from "../findings/words.ts";
import { scenarioLines } from "./text.ts";
import { type XmlElement, xmlDocument } from "./xml.ts";

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
  const suites = files
    .filter(({ errors, results }) => errors.length > 0 || results.length > 0)
    .map((file) => suite(file.file, casesOf(file, textOf)));
  const lost = unread.map(({ file, what, next }) =>
    suite(file, [
      testCase({ name: "the file can be read", classname: file }, [problem("error", what, next)]),
    ]),
  );
  const all = [...suites, ...lost];
  const children = all.map(({ element }) => element);
  return xmlDocument({ name: "testsuites", attributes: { name: "limb test", ...sum(all) }, children });
}

interface Counts {
  readonly tests: number;
  readonly failures: number;
  readonly errors: number;
}

interface Suite extends Counts {
  readonly element: XmlElement;
}

function suite(name: string, cases: readonly XmlElement[]): Suite {
  const counts = {
    tests: cases.length,
    failures: countWith(cases, "failure"),
    errors: countWith(cases, "error"),
  };
  const caution: XmlElement = {
    name: "properties",
    children: [{ name: "property", attributes: { name: "caution", value: CAUTION } }],
  };
  return {
    ...counts,
    element: { name: "testsuite", attributes: { name, ...counts }, children: [caution, ...cases] },
  };
}

function countWith(cases: readonly XmlElement[], kind: "failure" | "error"): number {
  const has = (child: XmlElement | string) => typeof child !== "string" && child.name === kind;
  return cases.filter(({ children = [] }) => children.some(has)).length;
}

function sum(suites: readonly Counts[]): Counts {
  const total = (count: (one: Counts) => number) => suites.reduce((so, one) => so + count(one), 0);
  return {
    tests: total(({ tests }) => tests),
    failures: total(({ failures }) => failures),
    errors: total(({ errors }) => errors),
  };
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
