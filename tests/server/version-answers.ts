import { runLimb } from "./run-limb.ts";

const RULE = "version-not-raised";

interface CheckJson {
  readonly files: readonly {
    readonly protocols: readonly {
      readonly name: string;
      readonly verdicts: readonly { readonly rule: string; readonly kind: string }[];
    }[];
  }[];
}

/** What `version-not-raised` answers for each protocol of a folder; undefined where it was not asked. */
export async function versionAnswers(folder: string, given: readonly string[] = []) {
  const { out } = await runLimb(folder, ["check", "--json", ...given]);
  const { files } = JSON.parse(out) as CheckJson;
  const protocols = files.flatMap((file) => file.protocols);
  return Object.fromEntries(
    protocols.map(({ name, verdicts }) => [name, verdicts.find(({ rule }) => rule === RULE)?.kind]),
  );
}
