import type {
  AcceptedBy,
  AnsweredBy,
  Finding,
  NotJudged,
  OpenPoint,
  Origin,
  Severity,
} from "@limbwright/shared/finding";
import { type Judged, judgeAllIn } from "../../check/judged.ts";
import type { Site } from "../../lower/site.ts";
import type { ParameterSetting } from "../../model/index.ts";
import { ruleList } from "../../rules/catalogue.ts";
import type { JudgeOptions } from "../../rules/engine/judge.ts";
import { type Hazard, hazards } from "../../rules/hazards/hazards.ts";

/** The hazard log of the catalogue, or of one protocol. */
export interface HazardLog {
  /** Undefined for the catalogue's own. */
  readonly about?: AboutProtocol;
  readonly hazards: readonly LoggedHazard[];
}

interface AboutProtocol {
  readonly protocol: string;
  readonly file: string;
  readonly version?: string;
  /** Who answers for the protocol. */
  readonly owner?: string;
  /** The day on which dates were judged, YYYY-MM-DD. */
  readonly on: string;
  /** Texts of the protocol that a person has to judge. */
  readonly notJudged: readonly NotJudged[];
}

export interface LoggedHazard extends Hazard {
  /** The rules that guard against it. */
  readonly guards: readonly Guard[];
}

export interface Guard {
  readonly rule: string;
  readonly title: string;
  readonly severity: Severity;
  /** How it stands with the protocol; undefined in the catalogue's own log. */
  readonly here?: GuardHere;
}

/** A guard that is not asked needs an earlier version, or is not about a protocol like this. */
export type GuardHere = (
  | { readonly is: "holds" | "not-asked" }
  | { readonly is: "broken"; readonly findings: readonly FindingHere[]; readonly open?: OpenPoint }
  | { readonly is: "answered"; readonly answers: readonly AnsweredBy[] }
  | { readonly is: "not-decided"; readonly limit: string; readonly origin?: Origin }
) & {
  /** What local rules set for it. */
  readonly settings: readonly ParameterSetting[];
};

export interface FindingHere {
  readonly severity: Severity;
  readonly what: string;
  readonly origin: Origin;
  readonly accepted?: AcceptedBy;
}

export interface ProtocolHazardLog extends HazardLog {
  readonly protocol: string;
  readonly about: AboutProtocol;
}

/** The log of the catalogue: each hazard with every rule that guards against it. */
export const hazardLog: HazardLog = { hazards: hazards.map((hazard) => withGuards(hazard)) };

/** The log of each protocol of a file, in the order of the text. Undefined when there is no such file. */
export function hazardLogsOf(
  site: Site,
  file: string,
  options: JudgeOptions,
): ProtocolHazardLog[] | undefined {
  return judgeAllIn(site, file, options)?.map((judged) => {
    const { protocol, notJudged } = judged.judgement;
    const { name, version, owner, nameOrigin } = protocol;
    return {
      protocol: name,
      about: {
        protocol: name,
        file: nameOrigin.file,
        ...(version && { version: version.value }),
        ...(owner && { owner: owner.value }),
        on: options.on,
        notJudged,
      },
      hazards: hazards.map((hazard) => withGuards(hazard, (rule) => standingOf(rule, judged))),
    };
  });
}

function withGuards(hazard: Hazard, here?: (rule: string) => GuardHere): LoggedHazard {
  const guarding = ruleList.filter((rule) => rule.hazards.some((id) => id === hazard.id));
  const guards = guarding.map(({ id, title, severity }) => ({
    rule: id,
    title,
    severity,
    ...(here && { here: here(id) }),
  }));
  return { ...hazard, guards };
}

function standingOf(rule: string, { judgement, inTheText }: Judged): GuardHere {
  const { protocol, verdicts, findings } = judgement;
  const settings = (protocol.localRules?.settings ?? []).filter((setting) => setting.rule === rule);
  const verdict = verdicts.find((one) => one.rule === rule);
  if (!verdict) return { is: "not-asked", settings };
  if (verdict.kind === "holds") return { is: "holds", settings };
  if (verdict.kind === "answered") return { is: "answered", answers: verdict.answers, settings };
  if (verdict.kind === "broken") {
    const found = [...inTheText, ...findings].filter((finding) => finding.rule === rule);
    return {
      is: "broken",
      findings: found.map(findingHere),
      ...(verdict.open && { open: verdict.open }),
      settings,
    };
  }
  const { limit, origin } = verdict;
  return { is: "not-decided", limit, ...(origin && { origin }), settings };
}

function findingHere({ severity, what, origin, accepted }: Finding): FindingHere {
  return { severity, what, origin, ...(accepted && { accepted }) };
}
