import {
  type CompiledVersion,
  compareSites,
  compileFile,
  type ProtocolComparison,
  readCompiledVersion,
  Site,
} from "@limbwright/language";
import { ON } from "./two-versions.ts";

const NOTHING = new Site(() => undefined);

/** The text of the rule file of one protocol, as a draft: also where something unsafe stands. Undefined where an error does. */
export function compiled(site: Site, file: string): string | undefined {
  const [one] = compileFile(site, file, { on: ON, draft: true }) ?? [];
  return one?.kind === "written" ? one.text : undefined;
}

export function versionOf(text: string, path = "approved.json"): CompiledVersion {
  const reading = readCompiledVersion(path, text);
  if (reading.kind === "refused") throw new Error(reading.because);
  return reading.version;
}

type Side = CompiledVersion | readonly [Site, file: string];

export function compared(before: Side, now: Side): ProtocolComparison {
  const side = (one: Side, name: string) =>
    "path" in one
      ? { site: NOTHING, files: [], compiled: [one], name }
      : { site: one[0], files: [one[1]], name };
  const [first] = [...compareSites(side(before, "before"), side(now, "now"), { on: ON })];
  if (!first) throw new Error("nothing was compared");
  return first.comparison;
}
