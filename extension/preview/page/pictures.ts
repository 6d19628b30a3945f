import type { PreviewPicture } from "@limbwright/shared/editor";
import { adoptPicture } from "./adopt-markup.ts";
import { make } from "./dom.ts";
import { makeReachable, type Place } from "./marks.ts";

/** A picture with its heading. */
export function pictureShown({ title, svg }: PreviewPicture, open: (place: Place) => void): HTMLElement {
  const figure = make("figure", {}, make("figcaption", {}, title));
  const picture = adoptPicture(svg);
  if (!picture) return figure;
  figure.append(picture);
  makeReachable(figure, open);
  return figure;
}
