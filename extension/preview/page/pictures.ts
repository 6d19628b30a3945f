import type { PreviewPicture } from "@limbwright/shared/editor";
import type { LinePlace } from "@limbwright/shared/finding";
import { make } from "./dom.ts";
import { makeReachable } from "./marks.ts";

/** A picture with its heading. */
export function pictureShown({ title, svg }: PreviewPicture, open: (place: LinePlace) => void): HTMLElement {
  const figure = make("figure", {}, make("figcaption", {}, title));
  const picture = adoptPicture(svg);
  if (!picture) return figure;
  figure.append(picture);
  makeReachable(figure, open);
  return figure;
}

/**
 * The elements of pictures and sheets. Every text of a protocol is escaped in what the server sends; whatever else could stand in it is
 * left out here a second time.
 */
const KNOWN: ReadonlySet<string> = new Set(
  (
    "svg title desc defs pattern path circle rect line g text " +
    "div header main footer section figure figcaption h1 h2 h3 p ul ol li dl dt dd " +
    "table caption colgroup col thead tbody tr th td span strong em code br"
  ).split(" "),
);

const REFUSED_ATTRIBUTE = /^(on.*|style|src|href|xlink:href|formaction|srcdoc)$/i;

/** A picture as an element of this page. Undefined where it is none. */
function adoptPicture(svg: string): SVGElement | undefined {
  const read = new DOMParser().parseFromString(svg, "image/svg+xml");
  const root = document.importNode(read.documentElement, true);
  if (root.localName !== "svg" || !(root instanceof SVGElement)) return undefined;
  clean(root);
  return root;
}

/** A piece of HTML as elements of this page. */
export function adoptHtml(html: string): DocumentFragment {
  const read = new DOMParser().parseFromString(html, "text/html");
  const fragment = document.createDocumentFragment();
  fragment.append(...[...read.body.childNodes].map((node) => document.importNode(node, true)));
  clean(fragment);
  return fragment;
}

function clean(root: Element | DocumentFragment): void {
  const inside = [...root.querySelectorAll("*")];
  for (const element of root instanceof Element ? [root, ...inside] : inside) {
    if (!KNOWN.has(element.localName)) {
      element.remove();
      continue;
    }
    for (const { name } of [...element.attributes]) {
      if (REFUSED_ATTRIBUTE.test(name)) element.removeAttribute(name);
    }
  }
}
