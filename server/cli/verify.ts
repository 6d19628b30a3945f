import { resolve } from "node:path";
import { type Verification, verifyRuleFile, wrap } from "@limbwright/language";
import type { Command } from "commander";
import { readText } from "../workspace/read-text.ts";
import { Trouble } from "../workspace/trouble.ts";
import type { ExitCode, Session } from "./surroundings.ts";

const HELP = `
Both digests are computed again from the file, and what it claims about doses, cuffs and pressures is proven
again. A digest shows that a file is whole, not who wrote it.

Exit codes: 0 everything agrees; 1 something differs; 2 a file is no whole rule file, or cannot be read;
3 nothing differs, but some claims cannot be proven from the file.

Examples:
  limb verify wrist-reduction.json
  limb verify wrist-reduction.json --meaning sha256:6f1c…
`;

/** A rule file holds a protocol with its tables and proofs; longer than this it is something else. */
const MOST_BYTES = 50_000_000;

interface VerifyOptions {
  readonly meaning?: string;
  readonly json?: true;
}

export function define(command: Command, session: Session): void {
  command
    .argument("<files...>", "rule files, as `limb compile` writes them")
    .option("--meaning <digest>", "the meaning digest that was approved; another one is a difference")
    .option("--json", "print the results as JSON")
    .addHelpText("after", HELP)
    .action((files: string[], options: VerifyOptions) => {
      session.finish(verify(files, options, session));
    });
}

interface Verified {
  readonly file: string;
  readonly verification: Verification;
}

function verify(files: readonly string[], { meaning, json }: VerifyOptions, session: Session): ExitCode {
  const troubles: Trouble[] = [];
  const verified: Verified[] = [];
  for (const file of files) {
    try {
      const text = readText(resolve(session.currentFolder, file), file, MOST_BYTES);
      const one = { file, verification: verifyRuleFile(text, meaning === undefined ? {} : { meaning }) };
      verified.push(one);
      if (!json) session.output.write(verifiedText(one));
    } catch (error) {
      if (!(error instanceof Trouble)) throw error;
      troubles.push(error);
    }
  }
  for (const { what, next } of troubles) session.messages.write(`limb: ${what} ${next}\n`);
  if (json) {
    const results = verified.map(({ file, verification }) => ({ file, ...verification }));
    const unread = troubles.map((trouble) => trouble.toUnread());
    session.output.write(`${JSON.stringify({ files: results, unread }, undefined, 2)}\n`);
  }
  const isUnreadable = verified.some(({ verification }) => verification.kind === "unreadable");
  return troubles.length > 0 || isUnreadable ? 2 : codeOfVerified(verified);
}

function codeOfVerified(verified: readonly Verified[]): ExitCode {
  if (verified.some(({ verification }) => verification.kind === "differs")) return 1;
  const isOpen = ({ verification }: Verified) =>
    verification.kind !== "unreadable" && verification.notProven.length > 0;
  return verified.some(isOpen) ? 3 : 0;
}

function verifiedText({ file, verification }: Verified): string {
  if (verification.kind === "unreadable") {
    const faults = verification.faults.map(
      ({ where, what, why }) => `  ${where === "" ? "" : `${where}: `}${what} ${why}`,
    );
    return `${[`${file}: not a whole rule file.`, ...faults].join("\n")}\n`;
  }
  const { kind, protocol, version, use, meaning, proof, differences, proven, notProven } = verification;
  const lines = [
    `${file}: ${kind === "agrees" ? "agrees with itself" : "DIFFERS from what it claims"}.`,
    `  Protocol ${protocol} ${version}${use === "draft" ? ", a draft" : ""}`,
    `  Meaning  ${meaning}`,
    `  Proof    ${proof}`,
    ...differences.map(({ where, what }) => `  Differs at ${where || "the whole file"}: ${what}`),
    `  Proven again: ${proven.length} rules.`,
    ...notProvenLines(notProven),
  ];
  return `${lines.join("\n")}\n`;
}

/** Equal reasons together. */
function notProvenLines(notProven: readonly { readonly rule: string; readonly reason: string }[]): string[] {
  const byReason = new Map<string, string[]>();
  for (const { rule, reason } of notProven) byReason.set(reason, [...(byReason.get(reason) ?? []), rule]);
  return [...byReason].flatMap(([reason, rules]) =>
    wrap(
      `${rules.length === 1 ? "1 rule" : `${rules.length} rules`}: ${reason} (${rules.join(", ")})`,
      100,
      "  Not proven again: ",
    ),
  );
}
