import type { PreviewPicture } from "@limbwright/shared/editor";
import { adoptedPicture } from "./adopt-markup.ts";
import { make } from "./dom.ts";
import { type Place, reachable } from "./marks.ts";

/** A picture with its heading. */
export function pictureShown({ title, svg }: PreviewPicture, open: (place: Place) => void): HTMLElement {
  const figure = make("figure", {}, make("figcaption", {}, title));
  const picture = adoptedPicture(svg);
  if (!picture) return figure;
  figure.append(picture);
  reachable(figure, open);
  return figure;
}
