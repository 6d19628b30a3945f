import { doseComparison, type RunPicture, runPicture } from "@limbwright/shared/pictures";
import { type Content, element, type Markup } from "@limbwright/shared/text";
import type { ComparedProtocol } from "../../compare/compare-sites.ts";
import type { SideJudged } from "../../compare/side.ts";
import { releasesOf } from "../../rules/engine/over-runs.ts";
import { doseComparisonsOf } from "../pictures/dose-comparisons.ts";
import { runPictureOf } from "../pictures/run-pictures.ts";
import { capital } from "./words.ts";

/** The doses of both versions over each other, and their runs one above the other; nothing where there is one version alone. */
export function picturesOf({ comparison, before, now }: ComparedProtocol, id: string): Content {
  if (!before || !now || comparison.outcome === "nothing") return [];
  const doses = doseComparisonsOf(before.protocol, now.protocol, `${id}-dose`);
  const runs = runsOf(before, now, id);
  return [
    doses.map((one) => figure(one.title, [doseComparison(one)], `${capital(one.description)}.`)),
    runs.map(({ title, pictures }) =>
      figure(
        title,
        pictures.map((picture) => [element("p", {}, picture.title), runPicture(picture)]),
      ),
    ),
  ];
}

interface RunPair {
  readonly title: string;
  readonly pictures: readonly RunPicture[];
}

/** The earliest and the latest release, each before and now, all on one scale of time. */
function runsOf(before: SideJudged, now: SideJudged, id: string): RunPair[] {
  const pairs = (["earliest", "latest"] as const).map((which) => ({
    title: `The ${which} release`,
    pictures: [
      pictureOf(before, which, { id: `${id}-before-${which}`, title: `Before: the ${which} release` }),
      pictureOf(now, which, { id: `${id}-now-${which}`, title: `Now: the ${which} release` }),
    ].flat(),
  }));
  const until = Math.max(...pairs.flatMap(({ pictures }) => pictures.map((picture) => picture.until)));
  return pairs
    .filter(({ pictures }) => pictures.length > 0)
    .map(({ title, pictures }) => ({ title, pictures: pictures.map((picture) => ({ ...picture, until })) }));
}

function pictureOf(
  { protocol, judgement }: SideJudged,
  which: "earliest" | "latest",
  title: { readonly id: string; readonly title: string },
): RunPicture[] {
  const run = releasesOf(judgement.explored.runs)[which];
  return run ? [runPictureOf(protocol, run, title)] : [];
}

function figure(title: string, pictures: readonly Content[], says = ""): Markup {
  return element(
    "figure",
    {},
    element("figcaption", {}, title),
    pictures.map((picture) => element("div", {}, picture)),
    says === "" ? [] : element("p", { class: "where" }, says),
  );
}
