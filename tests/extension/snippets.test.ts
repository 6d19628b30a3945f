import { readFileSync } from "node:fs";
import { join } from "node:path";
import { checkFiles, FORMULARY_TEMPLATE, protocolTemplate, Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { type Snippet, snippets } from "../../extension/language/snippets.ts";
import { firstProtocol } from "../../extension/walkthrough/first-protocol.ts";

const ON = "2026-11-25";
const ALL = Object.entries(snippets());

/** What is inserted when every place to fill in is left as it is. */
function inserted({ body }: Snippet): string {
  return body
    .join("\n")
    .replace(/\$\{\d+:([^}]*)\}/g, "$1")
    .replace(/\$\d/g, "")
    .replace(/\\([\\$}])/g, "$1");
}

/** The blocks around a snippet, by the block that it names. */
const AROUND: Readonly<Record<string, (text: string) => string>> = {
  file: (text) => text,
  protocol: (text) => `protocol p "P" {\n${text}\n}`,
  patients: (text) => `protocol p "P" {\npatients {\n${text}\n}\n}`,
  cuffs: (text) => `protocol p "P" {\ncuffs proximal "grey" on upper-arm {\n${text}\n}\n}`,
  dose: (text) => `protocol p "P" {\ndose local of lidocaine {\n${text}\n}\n}`,
  timer: (text) => `protocol p "P" {\ntimer hold from end of local {\n${text}\n}\n}`,
  prepare: (text) => `protocol p "P" {\nprepare {\n${text}\n}\n}`,
  throughout: (text) => `protocol p "P" {\nthroughout {\n${text}\n}\n}`,
  emergency: (text) => `protocol p "P" {\nemergency e "E" {\n${text}\n}\n}`,
  ask: (text) => `protocol p "P" {\nsteps {\nask "Q?" {\n${text}\n}\n}\n}`,
  agent: (text) => `agent lidocaine {\n${text}\n}`,
  "local-rules": (text) => `local-rules ours {\n${text}\n}`,
  scenario: (text) => `scenario "S" for p {\n${text}\n}`,
};

function findings(text: string) {
  return [
    ...checkFiles(
      new Site((file) => ({ "a.limb": text, "formulary.limb": FORMULARY_TEMPLATE })[file]),
      ["a.limb"],
      { on: ON },
    ),
  ].flatMap((file) => file.findings);
}

test.each(ALL.filter(([, { isFileTemplate }]) => !isFileTemplate))(
  "%s is read as it stands",
  (name, snippet) => {
    const around = AROUND[name.split(":")[0] ?? ""];
    const text = around?.(inserted(snippet));
    expect(text).toBeDefined();
    expect(findings(text ?? "").filter(({ rule }) => rule === "text-not-understood")).toEqual([]);
  },
);

test.each(ALL.filter(([, { isFileTemplate }]) => isFileTemplate))(
  "nothing is found in %s but, in a protocol, the words that are its author's to write",
  (name, snippet) => {
    const found = findings(inserted(snippet)).map(({ rule, severity }) => `${severity} ${rule}`);
    expect(found).toEqual(name.includes("protocol") ? ["advice template-text-left"] : []);
  },
);

test("the example of the walkthrough has the one mistake that it tells of", () => {
  const options = {
    name: "first-protocol",
    title: "T",
    place: "upper-arm",
    formulary: "f.limb",
    reviewBy: "2027-11-25",
  } as const;
  const text = firstProtocol({ protocol: protocolTemplate(options), formulary: FORMULARY_TEMPLATE });
  const found = (written: string) => findings(written).map(({ rule, severity }) => `${severity} ${rule}`);
  const itsAuthorsToWrite = "advice template-text-left";
  expect(found(text)).toEqual([itsAuthorsToWrite, "unsafe dose-over-maximum"]);
  expect(found(text.replace("amount 40 mL", "amount 3 mg/kg up to 200 mg"))).toEqual([itsAuthorsToWrite]);
  expect(findings(text.replace("    wait for hold\n", "")).map(({ rule }) => rule)).toContain(
    "early-release",
  );
});

test("every picture of the walkthrough is there, and every command that it calls", () => {
  const folder = join(import.meta.dirname, "../../extension");
  const { contributes } = JSON.parse(readFileSync(join(folder, "package.json"), "utf8"));
  const commands = contributes.commands.map(({ command }: { command: string }) => command);
  for (const { description, media } of contributes.walkthroughs[0].steps) {
    expect(readFileSync(join(folder, media.svg), "utf8")).toContain("<svg");
    const called = [...description.matchAll(/\(command:(limbwright\.\w+)\)/g)].map(([, command]) => command);
    expect(commands).toEqual(expect.arrayContaining(called));
  }
});
