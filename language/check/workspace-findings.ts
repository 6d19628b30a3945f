import { compareOrigins, type Finding } from "@limbwright/shared/finding";
import { acceptancesOfNothing } from "../rules/engine/acceptances.ts";
import { AcceptanceUse } from "./acceptance-use.ts";
import type { Contribution, JudgedFile } from "./judged-file.ts";

/**
 * The findings of a whole workspace by the file they have their place in, each list in the order of the text, from what
 * each file contributes.
 */
export function workspaceFindings(
  files: readonly JudgedFile[],
  on: string,
): ReadonlyMap<string, readonly Finding[]> {
  const together = new FindingsTogether();
  for (const judged of files) together.note(judged);
  for (const judged of files) {
    together.add(together.unknownProtocolsIn(judged));
    together.add(together.unneededAcceptancesIn(judged, on));
    together.add(together.unusedAgentsIn(judged));
  }
  const places = new Set([...files.map(({ file }) => file), ...together.places()]);
  return new Map([...places].map((file) => [file, eachOnce(together.take(file))]));
}

/** Adds up what files contribute, and gives each finding to the file that it has its place in. */
export class FindingsTogether {
  readonly #places = new Map<string, Finding[]>();
  readonly #protocolNames = new Set<string>();
  readonly #agentsInUse = new Set<string>();
  readonly #acceptances = new AcceptanceUse();

  /** Takes note of what was found in a file, and of what its protocols use and need. */
  note({ inText, protocols }: Contribution): void {
    this.add(inText);
    this.expect(protocols);
    for (const { findings, agents, localRules, verdicts } of protocols) {
      this.add(findings);
      for (const agent of agents) this.#agentsInUse.add(agent);
      this.#acceptances.note(localRules, { verdicts, drugs: agents.map(nameOfKey) });
    }
  }

  /** Takes note of protocols that are there, though nothing may be found about them yet. */
  expect(protocols: readonly { readonly name: string }[]): void {
    for (const { name } of protocols) this.#protocolNames.add(name);
  }

  add(findings: readonly Finding[]): void {
    for (const finding of findings) {
      const known = this.#places.get(finding.origin.file);
      if (known) known.push(finding);
      else this.#places.set(finding.origin.file, [finding]);
    }
  }

  /** The files that findings have their place in. */
  places(): string[] {
    return [...this.#places.keys()];
  }

  /** The findings with a place in a file; they are given once. */
  take(file: string): readonly Finding[] {
    const taken = this.#places.get(file) ?? [];
    this.#places.delete(file);
    return taken;
  }

  /** Acceptances of a file for protocols that are not there. */
  unknownProtocolsIn({ localRules }: Pick<Contribution, "localRules">): Finding[] {
    return localRules.flatMap((rules) => acceptancesOfNothing(rules, this.#protocolNames));
  }

  /** Acceptances of a file that none of the protocols so far needed. */
  unneededAcceptancesIn({ localRules }: Contribution, on: string): Finding[] {
    return localRules.flatMap((rules) => this.#acceptances.findUnused(rules, on));
  }

  /** What is found about drugs of a file that no protocol so far uses; those in a protocol's own file were judged there. */
  unusedAgentsIn({ protocols, agents }: Contribution): Finding[] {
    if (protocols.length > 0) return [];
    return agents.filter(({ key }) => !this.#agentsInUse.has(key)).flatMap(({ ifUnused }) => ifUnused);
  }
}

/**
 * In the order of the text, each once: what several protocols find at one place of a shared file is one
 * finding, of no protocol in particular. It stays apart from what an acceptance covers for one of them.
 */
export function eachOnce(findings: readonly Finding[]): Finding[] {
  const known = new Map<string, Finding>();
  for (const finding of findings) {
    const { rule, origin, what, accepted } = finding;
    const key = `${accepted ? "accepted" : ""}:${rule}:${origin.file}:${origin.start.offset}:${origin.end.offset}:${what}`;
    const earlier = known.get(key);
    known.set(key, earlier && earlier.protocol !== finding.protocol ? ofNoProtocol(earlier) : finding);
  }
  return [...known.values()].sort(
    (a, b) => compareOrigins(a.origin, b.origin) || (a.rule === b.rule ? 0 : a.rule < b.rule ? -1 : 1),
  );
}

/** The name of a drug of which `file#name` is the key. */
function nameOfKey(key: string): string {
  return key.slice(key.lastIndexOf("#") + 1);
}

function ofNoProtocol(finding: Finding): Finding {
  const { protocol, ...rest } = finding;
  return rest;
}
