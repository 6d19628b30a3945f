import {
  doseCurvesOf,
  type JudgedProtocol,
  releasePictures,
  runPictureOf,
  type Site,
  sheetOfJudged,
  sheetPaper,
} from "@limbwright/language";
import { findCoveredBox, tellRunShortly } from "@limbwright/language/editor";
import type { PreviewPart, PreviewPicture, PreviewRun, PreviewSheet } from "@limbwright/shared/editor";
import { type Finding, placeOf, type RunEvidence } from "@limbwright/shared/finding";
import { doseCurve, type RunPicture, runPicture } from "@limbwright/shared/pictures";
import { markupText } from "@limbwright/shared/text";

type Protocol = Parameters<typeof doseCurvesOf>[0];

/** What a preview is drawn from: the protocol as it stands, and what was found about it last. */
export interface Previewed {
  readonly site: Site;
  /** Undefined where nothing of it was understood. */
  readonly protocol: Protocol | undefined;
  readonly judged: JudgedProtocol;
  readonly findings: readonly Finding[];
  /** Whether the runs were not gone through for the text as it stands. */
  readonly isStale: boolean;
  readonly on: string;
}

/** The id of a finding's run picture, by its place in the list. */
export function runIdOf(at: number): string {
  return `run-${at + 1}`;
}

/** The runs that break a rule, then the earliest and the latest release. */
export function runsIn({
  protocol,
  judged,
  findings,
  isStale,
}: Previewed): PreviewPart<readonly PreviewRun[]> {
  if (!protocol) return { because: NOT_UNDERSTOOD };
  const broken = findings.flatMap(({ run, rule, label, origin, stale = false }, at): PreviewRun[] => {
    if (!run) return [];
    const title = `${rule}, line ${origin.start.line}`;
    const picture = runPictureOf(protocol, run, { id: runIdOf(at), title }, label);
    return [drawRun(picture, run, "breaks-a-rule", stale)];
  });
  if (isStale)
    return broken.length > 0 ? { shown: broken, because: BEING_CHECKED } : { because: BEING_CHECKED };
  const { earliest, latest } = judged.releases ?? {};
  const releases = releasePictures(protocol, judged.releases ?? {}, "run").flatMap((picture) => {
    const kind = picture.id === "run-earliest" ? "earliest" : "latest";
    const run = kind === "earliest" ? earliest : latest;
    return run ? [drawRun(picture, run, kind, false)] : [];
  });
  const because = whatIsMissing(judged, releases);
  return { shown: [...broken, ...releases], ...(because !== undefined && { because }) };
}

function drawRun(
  picture: RunPicture,
  run: RunEvidence,
  kind: PreviewRun["kind"],
  isStale: boolean,
): PreviewRun {
  const { id, title } = picture;
  const lines = tellRunShortly(run).map(({ time, what, after, origins: [origin] }) => ({
    time,
    what,
    after,
    ...(origin && { place: placeOf(origin) }),
  }));
  return { id, title, svg: markupText(runPicture(picture)), kind, lines, isStale };
}

/** Why the earliest or the latest release is not drawn. */
function whatIsMissing({ envelope }: JudgedProtocol, releases: readonly PreviewRun[]): string | undefined {
  if (!envelope) return "Not decided: how early and how late the release can come over all runs.";
  if (!envelope.release) return "No run comes to a release.";
  if (!envelope.release.latest) return "The latest release has no limit, so no run shows it.";
  return releases.length < 2
    ? "One of the runs with the earliest and the latest release cannot be shown."
    : undefined;
}

/** The dose curves of the text as it stands: they ask for no run. */
export function curvesIn({ protocol }: Previewed): PreviewPart<readonly PreviewPicture[]> {
  if (!protocol || !findCoveredBox(protocol)) return { because: NOT_UNDERSTOOD };
  const curves = doseCurvesOf(protocol, "curve").map((curve) => ({
    id: curve.id,
    title: curve.title,
    svg: markupText(doseCurve(curve)),
  }));
  const own = protocol.doses.filter(({ emergency }) => emergency === undefined);
  const drawnOnes = new Set(curves.map(({ id }) => id.replace(/-\d+$/, "")));
  const isDrawn = ({ name }: { readonly name: string }) => drawnOnes.has(`curve-${name}`);
  if (own.length === 0) return { because: "There is no dose to draw." };
  if (own.every(isDrawn)) return { shown: curves };
  const because = "A dose is not drawn: it was not understood, or is no function of weight within limits.";
  return curves.length > 0 ? { shown: curves, because } : { because };
}

const NOT_UNDERSTOOD = "The text as it stands was not understood well enough.";
const BEING_CHECKED = "The text as it stands is still being checked.";

/** The sheets of what was judged: made once, whatever patient is typed meanwhile. */
export class PreviewSheets {
  readonly #known = new WeakMap<
    JudgedProtocol,
    { readonly by: string; readonly sheet: PreviewPart<PreviewSheet> }
  >();

  of(previewed: Previewed): PreviewPart<PreviewSheet> {
    const { judged, isStale, on } = previewed;
    if (isStale) return { because: BEING_CHECKED };
    const known = this.#known.get(judged);
    if (known?.by === on) return known.sheet;
    const sheet = sheetIn(previewed);
    this.#known.set(judged, { by: on, sheet });
    return sheet;
  }
}

/** As it will print; while unsafe findings stand, as the draft it can only be. */
function sheetIn({ site, protocol, judged, on }: Previewed): PreviewPart<PreviewSheet> {
  if (!protocol) return { because: NOT_UNDERSTOOD };
  const whole = sheetOfJudged(site, protocol, judged, { on });
  if (whole.kind === "written") return { shown: sheetPaper(whole.sheet) };
  const draft = sheetOfJudged(site, protocol, judged, { on, draft: true });
  if (draft.kind === "refused") return { because: draft.because };
  return {
    shown: sheetPaper(draft.sheet),
    because: `${whole.because} This is what a draft of it looks like.`,
  };
}
