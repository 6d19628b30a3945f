import {
  type ComparedProtocol,
  type ComparisonReport,
  compareSites,
  type NotCompared,
  type ProtocolComparison,
} from "@limbwright/language";
import type { OpenedVersion } from "../workspace/open-version.ts";
import { Trouble } from "../workspace/trouble.ts";
import { Progress } from "./progress.ts";
import type { Invocation } from "./surroundings.ts";

export interface Versions {
  readonly before: OpenedVersion;
  readonly now: OpenedVersion;
}

export interface CompareVersionsOptions {
  readonly on?: string;
  /** Only what one protocol says. */
  readonly protocol?: string;
  /** Is shown each protocol with both versions still judged; they are let go afterwards. */
  readonly each?: (compared: ComparedProtocol) => void;
}

export interface ComparedVersions {
  readonly report: ComparisonReport;
  /** What could not be read; it is in the report, too. */
  readonly troubles: readonly Trouble[];
}

/** Compares two versions, protocol after protocol. */
export function compareVersions(
  { before, now }: Versions,
  options: CompareVersionsOptions,
  invocation: Invocation,
): ComparedVersions {
  const on = options.on ?? invocation.today;
  const { protocol, each } = options;
  const protocols: ProtocolComparison[] = [];
  const progress = new Progress(invocation, "Compared", countOf(now.site));
  const comparing = compareSites(before.site, now.site, { on, ...(protocol !== undefined && { protocol }) });
  let step = comparing.next();
  for (; !step.done; step = comparing.next()) {
    protocols.push(step.value.comparison);
    each?.(step.value);
    progress.step();
  }
  progress.clear();
  const notCompared = [...step.value, ...unreadOf("before", before), ...unreadOf("now", now)];
  return {
    report: { before: before.site.name, now: now.site.name, on, comparison: { protocols, notCompared } },
    troubles: [...before.troubles(), ...now.troubles()],
  };
}

function countOf({ files, compiled = [] }: OpenedVersion["site"]): number {
  return files.length + compiled.length;
}

/** Whatever could not be read was not compared either. */
function unreadOf(side: NotCompared["side"], { troubles }: OpenedVersion): NotCompared[] {
  return troubles().map(({ what }) => ({ side, limit: what.replace(/\.$/, "") }));
}

/** Why nothing was compared, where neither version has a protocol. */
export function withoutProtocol({ before, now }: Versions, protocol: string | undefined): Trouble {
  const sides = `${before.site.name} and ${now.site.name}`;
  return protocol === undefined
    ? new Trouble({
        file: now.site.name,
        what: `Neither of ${sides} declares a protocol, so nothing was compared.`,
        next: "Compare folders or whole revisions: what changed in a shared file shows in each protocol that uses it.",
      })
    : new Trouble({
        file: now.site.name,
        what: `Neither of ${sides} declares a protocol ${protocol}.`,
        next: "Check the name, or leave --protocol away.",
      });
}
