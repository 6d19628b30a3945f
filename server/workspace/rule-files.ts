import {
  type CompiledVersion,
  chosenVersions,
  isMeantAsRuleFile,
  readCompiledVersion,
  refusalOf,
} from "@limbwright/language";
import { MOST_RULE_FILE_BYTES } from "@limbwright/shared/rule-file";
import { decodeText } from "./read-text.ts";
import { keepTrouble, Trouble } from "./trouble.ts";

/** The content of a file, by the name under which the reader knows it. */
export interface FoundContent {
  readonly name: string;
  /** Throws `Trouble` where it cannot be read. */
  readonly read: () => Uint8Array;
}

/** The version that a text of a rule file holds. Throws `Trouble` where it is none, or was changed. */
export function readCompiled(name: string, text: string): CompiledVersion {
  const reading = readCompiledVersion(name, text);
  if (reading.kind === "read") return reading.version;
  throw new Trouble({ file: name, ...refusalOf(name, reading.because) });
}

/** The versions among the `.json` files of a folder, and what stood in the way. */
export interface CompiledInFolder {
  readonly versions: readonly CompiledVersion[];
  readonly troubles: readonly Trouble[];
}

/**
 * Of the `.json` files of a folder those that are rule files; others are no matter of ours. One whose protocol the folder also
 * declares as text (`declared`) is left out, and of several of one protocol all but the newest.
 */
export function readCompiledInFolder(
  found: Iterable<FoundContent>,
  declared: () => ReadonlySet<string>,
): CompiledInFolder {
  const read: CompiledVersion[] = [];
  const troubles: Trouble[] = [];
  for (const { name, read: bytesOf } of found) {
    keepTrouble(troubles, () => {
      const text = ruleFileText(name, bytesOf());
      if (text !== undefined && !declared().has(protocolNameIn(text))) read.push(readCompiled(name, text));
    });
  }
  const { chosen, doubtful } = chosenVersions(read);
  return { versions: chosen, troubles: [...troubles, ...doubtful.map(inDoubt)] };
}

function ruleFileText(name: string, bytes: Uint8Array): string | undefined {
  if (!isMeantAsRuleFile(new TextDecoder("latin1").decode(bytes))) return undefined;
  return decodeText(bytes, name, MOST_RULE_FILE_BYTES);
}

/** What the file calls its protocol, be it whole or not; empty where that cannot be told. */
function protocolNameIn(text: string): string {
  try {
    const { protocol } = JSON.parse(text) as { readonly protocol?: { readonly name?: unknown } };
    return typeof protocol?.name === "string" ? protocol.name : "";
  } catch {
    return "";
  }
}

function inDoubt(versions: readonly CompiledVersion[]): Trouble {
  const [first] = versions;
  const paths = versions.map(({ path }) => path).join(", ");
  const of = `\`${first?.protocol.name}\` ${first?.file.protocol.version}`;
  return new Trouble({
    file: first?.path ?? "",
    what: `Several rule files are of ${of} and say different things: ${paths}. Only the first was compared.`,
    next: "Name the one that you mean, or take the others away.",
  });
}
