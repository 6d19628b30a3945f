import {
  boundsText,
  CAUTION,
  GENERAL_PARAMETERS,
  type Group,
  type ListedRule,
  type Parameter,
  ruleList,
  standardSource,
  wrap,
} from "@limbwright/language";
import type { Command } from "commander";
import { type Invocation, jsonText, type Stream } from "./surroundings.ts";

const HELP = `
Local rules set a parameter: a tighter value without more, a looser one with a reason and a role, and never
past the bound. Rules marked * look at the order and times of a run; this version does not decide them.

Examples:
  limb rules
  limb why dose-over-maximum
`;

const GROUPS: Readonly<Record<Group, string>> = {
  text: "Text: what cannot be understood",
  numbers: "Numbers: how they are written",
  dose: "Dose",
  cuff: "Cuff",
  time: "Time",
  readiness: "Readiness",
  governance: "Governance",
};

export function define(command: Command, invocation: Invocation): void {
  command
    .option("--json", "print the list as JSON")
    .addHelpText("after", HELP)
    .action(({ json }: { json?: true }) => {
      invocation.output.write(
        json
          ? jsonText({ rules: ruleList, generalParameters: GENERAL_PARAMETERS })
          : listText(invocation.output),
      );
      invocation.finish(0);
    });
}

function listText({ hasColour, columns }: Stream): string {
  const strong = (text: string) => (hasColour ? `\u001b[1m${text}\u001b[0m` : text);
  const longest = Math.max(...ruleList.map(({ id }) => id.length)) + 2;
  const groups = (Object.keys(GROUPS) as Group[]).flatMap((group) => {
    const rules = ruleList.filter((rule) => rule.group === group);
    return [strong(GROUPS[group]), ...rules.flatMap((rule) => ruleLines(rule, longest, columns)), ""];
  });
  const general = GENERAL_PARAMETERS.flatMap((parameter) => parameterLines(parameter, "", columns));
  const end = `${ruleList.length} rules. \`limb why RULE\` explains one.`;
  const lines = [
    ...groups,
    strong("Parameters of no single rule"),
    ...general,
    "",
    ...wrap(end, columns),
    "",
    ...wrap(CAUTION, columns),
  ];
  return `${lines.join("\n")}\n`;
}

function ruleLines(rule: ListedRule, longest: number, columns: number): string[] {
  const { id, title, severity, parameters } = rule;
  const name = id.padEnd(longest);
  return [
    ...wrap(`${title}${acceptanceMark(rule)}`, columns, `  ${name}  ${severity.padEnd(8)}  `),
    ...parameters.flatMap((parameter) => parameterLines(parameter, `${id}.`, columns)),
  ];
}

/** What a hospital may not accept; errors need no word. */
function acceptanceMark({ severity, isAcceptable, isUnsafeAcceptable, acceptedUpTo }: ListedRule): string {
  if (severity === "error" || isUnsafeAcceptable) return "";
  if (acceptedUpTo) {
    return isAcceptable
      ? " (where it is unsafe, accepted up to a value only)"
      : " (accepted up to a value only)";
  }
  return isAcceptable ? " (cannot be accepted where it is unsafe)" : " (cannot be accepted)";
}

/** "      early-release.minimum  30 min, at least 20 min", and what it means below. */
function parameterLines(parameter: Parameter, prefix: string, columns: number): string[] {
  const { name, title, standard, choices } = parameter;
  const from = standardSource(parameter);
  const bounds = boundsText(parameter);
  const limit = bounds === "" ? "" : `, ${bounds}`;
  const others = choices?.filter((choice) => choice !== standard).map((choice) => `, or ${choice}`) ?? [];
  return [
    ...wrap(
      `${`${standard} ${parameter.unit}`.trim()}${limit}${others.join("")}`,
      columns,
      `      ${prefix}${name}  `,
    ),
    ...wrap(`${title}${from === undefined ? "" : ` (${from})`}`, columns, "          "),
  ];
}
