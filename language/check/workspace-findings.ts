import type { Finding } from "@limbwright/shared/finding";
import { acceptancesOfNothing } from "../rules/engine/acceptances.ts";
import { AcceptanceUse } from "./acceptance-use.ts";
import { eachOnce } from "./check.ts";
import type { JudgedFile } from "./judged-file.ts";

/**
 * The findings of a whole workspace by the file they have their place in, each list in the order of the text: the same
 * as a check of all its files, from what each file contributes.
 */
export function workspaceFindings(
  files: readonly JudgedFile[],
  on: string,
): ReadonlyMap<string, readonly Finding[]> {
  const places = new Map<string, Finding[]>(files.map(({ file }) => [file, []]));
  const add = (findings: readonly Finding[]) => {
    for (const finding of findings) {
      const { file } = finding.origin;
      const known = places.get(file);
      if (known) known.push(finding);
      else places.set(file, [finding]);
    }
  };
  const whole = wholeOf(files);
  for (const judged of files) {
    add(judged.inText);
    for (const { findings } of judged.protocols) add(findings);
    add(ofSharedThings(judged, whole, on));
  }
  return new Map([...places].map(([file, findings]) => [file, eachOnce(findings)]));
}

/** What is known of all protocols together. */
interface Whole {
  readonly protocolNames: ReadonlySet<string>;
  readonly agentsInUse: ReadonlySet<string>;
  readonly acceptances: AcceptanceUse;
}

function wholeOf(files: readonly JudgedFile[]): Whole {
  const protocols = files.flatMap((judged) => judged.protocols);
  const acceptances = new AcceptanceUse();
  for (const { localRules, verdicts } of protocols) acceptances.note(localRules, verdicts);
  return {
    protocolNames: new Set(protocols.map(({ name }) => name)),
    agentsInUse: new Set(protocols.flatMap(({ agents }) => agents)),
    acceptances,
  };
}

function ofSharedThings(judged: JudgedFile, whole: Whole, on: string): Finding[] {
  const ofRules = judged.localRules.flatMap((rules) => [
    ...acceptancesOfNothing(rules, whole.protocolNames),
    ...whole.acceptances.unused(rules, on),
  ]);
  // A formulary's drug is judged by itself only where nothing uses it; in a protocol's own file it was judged there.
  const unused = judged.protocols.length > 0 ? [] : judged.agents;
  const ofAgents = unused.filter(({ key }) => !whole.agentsInUse.has(key));
  return [...ofRules, ...ofAgents.flatMap(({ ifUnused }) => ifUnused)];
}
