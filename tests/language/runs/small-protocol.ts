import { Site, type SiteFile } from "@limbwright/language";
import { expect } from "vitest";
import type { Protocol } from "../../../language/model/index.ts";
import { timingOf } from "../../../language/rules/engine/runs-for.ts";
import { type ExploredRuns, exploreRuns, type Watcher } from "../../../language/runs/index.ts";

/** The parts of a protocol that a test about runs says; the rest is as small as can be. */
export interface SmallProtocol {
  readonly steps: string;
  /** Timers, requirements, `throughout`, emergencies. */
  readonly more?: string;
  /** The names of the cuffs, `proximal, distal` if not said. */
  readonly cuffs?: string;
  /** What `local-rules` set; none if not said. */
  readonly settings?: string;
}

/** The protocol of a small text, with its first step on line 3; it must be understood as a whole. */
export function protocolOf(parts: SmallProtocol): Protocol {
  const { problems, protocols } = readSmall(parts);
  expect(problems.map(({ what }) => what)).toEqual([]);
  const [protocol] = protocols;
  if (!protocol) throw new Error("the text declares no protocol");
  return protocol;
}

/** What is read of a small text. */
export function readSmall(parts: SmallProtocol): Pick<SiteFile, "problems" | "protocols"> {
  const { steps, more = "", cuffs = "proximal, distal", settings = "" } = parts;
  const text = `protocol small "Small" {
  steps {
${steps}
  }
${more}
  version 0.1.0
  status draft
  patients {
    age 16 to 85 years
    weight 45 to 130 kg
    systolic 90 to 180 mmHg
  }
  cuffs ${cuffs} on upper-arm {
    pressure 250 mmHg
  }
  dose local of lidocaine {
    amount 3 mg/kg
    over 1 min to 2 min
  }
  dose top-up of lidocaine {
    amount 10 mg
    over 30 s
  }
  dose drip of lidocaine {
    rate 1 mg/kg/h
    total up to 1 mg/kg
  }
  local-rules ward
}
local-rules ward {
${settings}
}
event rain "It rains"
agent lidocaine {
  kind local-anaesthetic
  concentration 0.5 %
  maximum 4 mg/kg
}
`;
  written.text = text;
  const read = SITE.file(FILE);
  if (!read) throw new Error("the text was not read");
  SITE.forget(FILE);
  return read;
}

const FILE = "small.limb";

/** Making a parser takes longer than a test; one reads all small texts, and forgets each. */
const written = { text: "" };
const SITE = new Site(() => written.text);

/** Every run of a protocol, with what is watched for; throws where they could not be explored. */
export function runsOf(protocol: Protocol, watchers: readonly Watcher[] = []): ExploredRuns {
  const runs = exploreRuns(protocol, { timing: timingOf(protocol), watchers });
  if (runs.kind === "not-explored") throw new Error(runs.limit);
  return runs;
}
