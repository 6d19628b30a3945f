import { resolve } from "node:path";
import { type ComparedSite, comparisonText, type ProtocolComparison, Site } from "@limbwright/language";
import { MOST_RULE_FILE_BYTES, RULE_FILE_SUFFIX } from "@limbwright/shared/rule-file";
import { asRuleFile, type OpenedVersion } from "../workspace/open-version.ts";
import { readText } from "../workspace/read-text.ts";
import { readCompiled } from "../workspace/rule-files.ts";
import { Trouble } from "../workspace/trouble.ts";
import { Workspace } from "../workspace/workspace.ts";
import { type CompareVersionsOptions, compareVersions, type Versions } from "./compare-versions.ts";
import type { Invocation } from "./surroundings.ts";

/** What Git names where a version has no such file. */
const NO_FILE = "/dev/null";

/**
 * The external diff driver of Git (gitdiff documentation, `GIT_EXTERNAL_DIFF`): it is called at the top of the work tree, once for each file, with
 * path, old-file, old-hex, old-mode, new-file, new-hex, new-mode; for a renamed file also with its new path and what Git says of
 * it; and with the path alone for a file that is not merged. Git stops at any exit code but 0, so there is no other.
 */
export function driveDiff(
  given: readonly string[],
  options: CompareVersionsOptions & { readonly verbose?: boolean },
  invocation: Invocation,
): void {
  const { output } = invocation;
  const [path = "", oldFile, , , newFile, , , newPath = path] = given;
  invocation.finish(0);
  if (oldFile === undefined || newFile === undefined) {
    output.write(`${path} is not merged yet, so there are no two versions of it to compare.\n`);
    return;
  }
  try {
    const before = versionOf({ path, file: oldFile, word: "before" }, invocation);
    const now = versionOf({ path: newPath, file: newFile, word: "now" }, invocation);
    output.write(diffText({ before, now }, options, invocation));
  } catch (error) {
    if (!(error instanceof Trouble)) throw error;
    output.write(`${path}: not compared. ${error.what} ${error.next}\n`);
  }
}

interface DrivenFile {
  /** Its path in the work tree, by which others use it. */
  readonly path: string;
  /** Where Git has put its content. */
  readonly file: string;
  readonly word: string;
}

/** A version of one file. What it uses is read from the work tree: Git does not say of which revision it is. */
function versionOf({ path, file, word }: DrivenFile, { currentFolder }: Invocation): OpenedVersion {
  const isThere = file !== NO_FILE;
  if (isThere && path.endsWith(RULE_FILE_SUFFIX)) {
    const text = readText(resolve(currentFolder, file), path, MOST_RULE_FILE_BYTES);
    const version = asRuleFile(readCompiled(path, text), path);
    return { ...version, site: { ...version.site, name: `${version.site.name} ${word}` } };
  }
  const workspace = new Workspace(currentFolder);
  if (isThere) workspace.give(path, readText(resolve(currentFolder, file), path));
  const site: ComparedSite = {
    site: new Site(workspace.textOf),
    files: isThere ? [path] : [],
    name: isThere ? `\`${path}\` ${word}` : `no file ${word}`,
  };
  return { site, textOf: workspace.textOf, troubles: () => workspace.troubles };
}

function diffText(
  versions: Versions,
  options: CompareVersionsOptions & { readonly verbose?: boolean },
  invocation: Invocation,
): string {
  const used = findUsedFiles(versions);
  const { report } = compareVersions(versions, options, invocation);
  const { hasColour, columns } = invocation.output;
  const { protocols, notCompared } = report.comparison;
  if (protocols.length === 0 && notCompared.length === 0) {
    return `${versions.now.site.name}: it declares no protocol. What changed in it shows in each protocol that uses it: \`limb compare REV: .\` tells.\n\n`;
  }
  const limited = used.length === 0 ? protocols : protocols.map((one) => withLimit(one, limitText(used)));
  const comparison = { protocols: limited, notCompared };
  const layout = { colour: hasColour, width: columns, verbose: options.verbose ?? false };
  return `${comparisonText({ ...report, comparison }, layout)}\n`;
}

/** Where files were left out of the comparison, nothing is said to be unchanged. */
function withLimit(comparison: ProtocolComparison, limit: string): ProtocolComparison {
  const { outcome, notCompared } = comparison;
  if (outcome === "added" || outcome === "removed") return comparison;
  return {
    ...comparison,
    outcome: outcome === "nothing" ? "not-decided" : outcome,
    notCompared: [...notCompared, { side: "both", limit }],
  };
}

function findUsedFiles({ before, now }: Versions): string[] {
  const used = [before.site, now.site].flatMap(({ site, files }) =>
    files.flatMap((file) => {
      const read = site.file(file);
      return read ? [...read.uses, ...read.missing] : [];
    }),
  );
  return [...new Set(used)].sort();
}

function limitText(files: readonly string[]): string {
  return (
    `what it uses (${files.join(", ")}) was read as it is in the work tree, for either version, since Git does not say ` +
    "of which revision the files are; `limb compare REV: .` compares it, too"
  );
}
