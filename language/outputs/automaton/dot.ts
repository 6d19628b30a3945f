import { plainCharacters } from "@limbwright/shared/text";
import type { TracedAutomaton } from "../../runs/index.ts";
import { wrap } from "../findings/terminal.ts";
import {
  type Anchor,
  type Arrow,
  type Cluster,
  type Drawing,
  type DrawnNode,
  drawingOf,
  stepOf,
} from "./drawing.ts";
import { limitText } from "./words.ts";

/**
 * The automaton of the protocol `name` as a picture in DOT, the language of the Graphviz programs. A box is a step in hand, with the time it
 * may take; a frame is the plan, a stage, what a handler does or an emergency. What may happen at any moment
 * of a frame is one arrow from the frame. Moments between two steps are drawn only where there is more than
 * one way on; what rules watch is not drawn.
 */
export function automatonDot(traced: Pick<TracedAutomaton, "automaton" | "groups">, name: string): string {
  const drawing = drawingOf(traced);
  const ids = new ClusterIds();
  const drawn = new Set<number>();
  const frames = drawing.clusters.flatMap((cluster) => clusterLines(cluster, drawing, ids, drawn));
  const others = [...drawing.nodes].filter(([at]) => !drawn.has(at)).map(([at, node]) => nodeLine(at, node));
  const lines = [
    ...HEAD,
    `label=${quoteLines([name])}`,
    'start [shape=circle, style=filled, fillcolor=black, width=0.15, label=""]',
    ...frames,
    ...others,
    ...drawing.arrows.map((arrow) => arrowLine(arrow, ids)),
  ];
  return `digraph ${quoteLines([name])} {\n${lines.map((line) => `  ${line}\n`).join("")}}\n`;
}

const HEAD = [
  "compound=true",
  "rankdir=TB",
  "labelloc=t",
  'fontname="Helvetica"',
  'node [fontname="Helvetica", fontsize=11, shape=box, style=rounded, margin="0.18,0.08"]',
  'edge [fontname="Helvetica", fontsize=10]',
];

/** The names of frames in the picture, in the order in which they are first drawn. */
class ClusterIds {
  readonly #ids = new Map<Cluster, string>();

  idOf(cluster: Cluster): string {
    const id = this.#ids.get(cluster) ?? `cluster_${this.#ids.size + 1}`;
    this.#ids.set(cluster, id);
    return id;
  }
}

function clusterLines(cluster: Cluster, drawing: Drawing, ids: ClusterIds, drawn: Set<number>): string[] {
  const id = ids.idOf(cluster);
  const inner = cluster.inner.flatMap((one) => clusterLines(one, drawing, ids, drawn));
  const own = [...drawing.nodes].filter(([at]) => cluster.locations.has(at) && !drawn.has(at));
  for (const [at] of own) drawn.add(at);
  if (own.length === 0 && inner.length === 0) return [];
  const label = [titleOf(cluster), ...cluster.atMost.map(limitText), ...(drawing.notes.get(cluster) ?? [])];
  const lines = [
    `label=${quoteLines(label)}`,
    `style=${STYLES[cluster.kind]}`,
    "fontsize=11",
    ...own.map(([at, node]) => nodeLine(at, node)),
    ...inner,
  ];
  return [`subgraph ${id} {`, ...lines.map((line) => `  ${line}`), "}"];
}

const STYLES: Readonly<Record<Cluster["kind"], string>> = {
  plan: "solid",
  stage: '"rounded,solid"',
  handler: '"rounded,dashed"',
  emergency: "bold",
};

function titleOf({ kind, says }: Cluster): string {
  return kind === "handler" ? `when ${says}` : says;
}

const SHAPES: Readonly<Record<DrawnNode["kind"], string>> = {
  step: "",
  choice: ", shape=diamond, style=solid",
  end: ", shape=doublecircle, style=solid",
};

function nodeLine(at: number, { kind, label }: DrawnNode): string {
  return `n${at} [label=${quoteLines(label)}${SHAPES[kind]}]`;
}

/** An arrow from or to a frame is drawn from or to a step in it, and cut at the frame. */
function arrowLine({ kind, from, to, label }: Arrow, ids: ClusterIds): string {
  const settings = [
    label.length > 0 && `label=${quoteLines(label)}`,
    typeof from === "object" && `ltail=${ids.idOf(from)}`,
    typeof to === "object" && `lhead=${ids.idOf(to)}`,
    kind === "event" && "style=dashed",
    kind === "return" && "style=dotted, constraint=false",
  ].filter((setting) => typeof setting === "string");
  const tail = from === undefined ? "start" : nodeName(from);
  return `${tail} -> ${nodeName(to)}${settings.length > 0 ? ` [${settings.join(", ")}]` : ""}`;
}

function nodeName(anchor: Anchor): string {
  return `n${stepOf(anchor)}`;
}

const WIDEST = 28;

/** Lines as one quoted text; each is broken where it is wide. */
function quoteLines(lines: readonly string[]): string {
  const text = lines.flatMap((line) => wrap(plainCharacters(line), WIDEST)).map(escapeText);
  return `"${text.join("\\n")}"`;
}

function escapeText(text: string): string {
  return text.replaceAll("\\", "\\\\").replaceAll('"', '\\"');
}
