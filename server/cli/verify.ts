import { resolve } from "node:path";
import { CAUTION, someNames, type Verification, verifyRuleFile, wrap } from "@limbwright/language";
import { MOST_RULE_FILE_BYTES } from "@limbwright/shared/rule-file";
import type { Command } from "commander";
import { readText } from "../workspace/read-text.ts";
import { keepTrouble, type Trouble } from "../workspace/trouble.ts";
import { dateArgument } from "./arguments.ts";
import { type ExitCode, type Invocation, jsonText, tellTroubles } from "./surroundings.ts";

const HELP = `
Both digests are computed again from the file, and what it claims about doses, cuffs, order and times is
proven again, over every run. A digest shows that a file is whole, not who wrote it: compare both with those that were approved. The
hospital's own settings are part of the proof, not of the meaning.

What the hospital has accepted, and what it answers for, is named each with its end; no such rule is among those that are proven.

Exit codes: 0 everything agrees; 1 something differs, or an acceptance or an answer has ended, or lasts too long; 2 a file is no whole rule
file, or cannot be read; 3 nothing differs, but the file says itself that rules are not decided.

Examples:
  limb verify wrist-reduction.json
  limb verify wrist-reduction.json --meaning sha256:6f1c…
`;

interface VerifyOptions {
  readonly meaning?: string;
  readonly proof?: string;
  readonly on?: string;
  readonly json?: true;
  readonly verbose?: true;
}

export function define(command: Command, invocation: Invocation): void {
  command
    .argument("<files...>", "rule files, as `limb compile` writes them")
    .option("--meaning <digest>", "the meaning digest that was approved; another one is a difference")
    .option("--proof <digest>", "the proof digest that was approved; another one is a difference")
    .option(
      "--on <date>",
      "say which acceptances and answers have ended by this day (today if not said)",
      dateArgument,
    )
    .option("--json", "print the results as JSON")
    .option("--verbose", "name every rule that is not proven again")
    .addHelpText("after", HELP)
    .action((files: string[], options: VerifyOptions) => {
      invocation.finish(verify(files, options, invocation));
    });
}

interface Verified {
  readonly file: string;
  readonly verification: Verification;
}

function verify(files: readonly string[], options: VerifyOptions, invocation: Invocation): ExitCode {
  const troubles: Trouble[] = [];
  const verified: Verified[] = [];
  for (const file of files) {
    keepTrouble(troubles, () => verified.push(verifyOne(file, options, invocation)));
  }
  tellTroubles(troubles, invocation);
  const results = verified.map(({ file, verification }) => ({ file, ...verification }));
  invocation.output.write(
    options.json ? jsonText({ files: results, unread: troubles }) : endText(verified, invocation),
  );
  const isUnreadable = verified.some(({ verification }) => verification.kind === "unreadable");
  return troubles.length > 0 || isUnreadable ? 2 : codeOfVerified(verified);
}

/** Verifies one file and says at once what came of it, where text is asked for. Throws `Trouble`. */
function verifyOne(file: string, options: VerifyOptions, invocation: Invocation): Verified {
  const { meaning, proof, json, verbose } = options;
  const { currentFolder, output, today } = invocation;
  const on = options.on ?? today;
  const text = readText(resolve(currentFolder, file), file, MOST_RULE_FILE_BYTES);
  const approved = { on, ...(meaning !== undefined && { meaning }), ...(proof !== undefined && { proof }) };
  const one = { file, verification: verifyRuleFile(text, approved) };
  if (!json) output.write(verificationText(one, output.columns, verbose ?? false));
  return one;
}

function endText(verified: readonly Verified[], { output }: Invocation): string {
  return verified.length === 0 ? "" : `\n${wrap(CAUTION, output.columns).join("\n")}\n`;
}

function codeOfVerified(verified: readonly Verified[]): ExitCode {
  const isWrong = ({ verification }: Verified) =>
    verification.kind === "differs" ||
    (verification.kind === "agrees" &&
      verification.decisions.some((one) => one.hasEnded || one.reachesTooFar));
  if (verified.some(isWrong)) return 1;
  const isOpen = ({ verification }: Verified) =>
    verification.kind !== "unreadable" && verification.notProven.some(({ kind }) => kind === "not-decided");
  return verified.some(isOpen) ? 3 : 0;
}

function verificationText({ file, verification }: Verified, columns: number, isVerbose: boolean): string {
  const lines =
    verification.kind === "unreadable"
      ? [`${file}: not a whole rule file.`, ...faultLines(verification.faults, columns)]
      : [
          `${file}: ${verification.kind === "agrees" ? "agrees with itself" : "differs from what it claims"}.`,
          `  Protocol ${verification.protocol} ${verification.version}${verification.use === "draft" ? ", a draft" : ""}`,
          `  Meaning  ${verification.meaning}`,
          `  Proof    ${verification.proof}`,
          ...verification.differences.flatMap(({ where, what }) =>
            wrap(`${where || "the whole file"}: ${what}`, columns, "  Differs at "),
          ),
          `  Proven again: ${verification.proven.length} rules.`,
          ...decisionLines(verification.decisions, columns),
          ...notProvenLines(verification.notProven, columns, isVerbose),
        ];
  return `${lines.join("\n")}\n`;
}

type Proof = Exclude<Verification, { readonly kind: "unreadable" }>;
type Faults = Extract<Verification, { readonly kind: "unreadable" }>["faults"];

function faultLines(faults: Faults, columns: number): string[] {
  return faults.flatMap(({ where, what, why }) =>
    wrap(`${where === "" ? "" : `${where}: `}${what} ${why}`, columns, "  "),
  );
}

/** What the hospital answers for itself: nobody who follows the file should overlook it. */
function decisionLines(decisions: Proof["decisions"], columns: number): string[] {
  return decisions.flatMap(({ kind, rule, upTo, what, because, by, until, hasEnded, reachesTooFar }) => {
    const ended = hasEnded ? "HAS ENDED, " : reachesTooFar ? "FOR TOO LONG, " : "";
    const about = what.length > 0 ? `: ${what.join(" ")}` : ", of which nothing is found";
    const most = upTo === undefined ? "" : `up to ${upTo}, `;
    const words = `${rule}, ${most}${ended}until ${until} by ${by}${about} Because: ${because}`;
    return wrap(words, columns, kind === "accepted" ? "  Accepted: " : "  Answered: ");
  });
}

/** Equal reasons together. */
function notProvenLines(notProven: Proof["notProven"], columns: number, isVerbose: boolean): string[] {
  const byReason = new Map<string, string[]>();
  for (const { rule, reason } of notProven) byReason.set(reason, [...(byReason.get(reason) ?? []), rule]);
  return [...byReason].flatMap(([reason, rules]) => {
    const count = rules.length === 1 ? "1 rule" : `${rules.length} rules`;
    return wrap(`${count}: ${reason} (${someNames(rules, isVerbose)}).`, columns, "  Not proven again: ");
  });
}
