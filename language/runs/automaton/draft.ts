import type { Origin } from "@limbwright/shared/finding";
import type { Automaton, Check, Edge, Location, Variable } from "@limbwright/shared/runtime";
import type { Step } from "../../model/index.ts";
import type { Effect } from "./moments.ts";

/** An automaton with the places in the text that its parts come from. */
export interface TracedAutomaton {
  readonly automaton: Automaton;
  /** The clock that shows the time of a moment, where several show the same. */
  readonly clockFor: (clock: string) => string;
  /** By the number of the edge. */
  readonly edgeOrigins: readonly (Origin | undefined)[];
  /** By the number of the check. */
  readonly checkOrigins: readonly Origin[];
  /** The steps, handlers and branches, each with the edges by which it is entered. */
  readonly elements: readonly Element[];
  /** The stages, the bodies of handlers and the emergencies; one may stand within another. */
  readonly groups: readonly LocationGroup[];
}

/** Locations that belong together. */
export interface LocationGroup {
  readonly kind: "stage" | "handler" | "emergency";
  /** For a reader, in the words of the protocol; of a handler, what leads into it. */
  readonly says: string;
  /** Of a stage or an emergency. */
  readonly name?: string;
  readonly locations: readonly number[];
}

/** A part of the protocol that some run should reach. */
export interface Element {
  readonly kind: "step" | "handler" | "answer";
  /** For a reader. */
  readonly says: string;
  readonly origin: Origin;
  readonly edges: readonly number[];
  readonly step?: Step;
  /** Of an answer: what tells it from the other one to the same question. */
  readonly answer?: "yes" | "no";
}

/** An edge as it is drafted; where it comes from may still grow. */
export type DraftEdge = Omit<Edge, "checks"> & {
  readonly origin?: Origin;
  readonly checks: readonly number[];
};

/** An edge as it is given to a draft. */
export type NewEdge = Omit<DraftEdge, "checks"> & { readonly checks?: readonly number[] };

/** An automaton while it is being built. */
export class Draft {
  readonly variables: Variable[] = [];
  readonly locations: Location[] = [];
  readonly edges: DraftEdge[] = [];
  readonly checks: Check[] = [];
  readonly checkOrigins: Origin[] = [];
  readonly elements: Element[] = [];

  addLocation(location: Location): number {
    return this.locations.push(location) - 1;
  }

  addEdge(edge: NewEdge): number {
    return this.edges.push({ ...edge, checks: edge.checks ?? [] }) - 1;
  }

  /** An edge comes from more places than were known when it was drafted. */
  growEdge(number: number, from: readonly number[]): void {
    const edge = this.edges[number];
    if (edge) this.edges[number] = { ...edge, from };
  }

  /** An edge changes more than was known when it was drafted. */
  addEffect(number: number, { set, reset }: Effect): void {
    const edge = this.edges[number];
    if (!edge) return;
    const changes = { set: [...(edge.set ?? []), ...set], reset: [...(edge.reset ?? []), ...reset] };
    this.edges[number] = { ...edge, ...changes };
  }

  /** An edge becomes several, of which a run takes one; what an element is entered by, it is entered by each of. */
  splitEdge(number: number, [first, ...others]: readonly [DraftEdge, ...DraftEdge[]]): void {
    this.edges[number] = first;
    const added = others.map((edge) => this.addEdge(edge));
    this.elements.forEach((element, at) => {
      if (element.edges.includes(number))
        this.elements[at] = { ...element, edges: [...element.edges, ...added] };
    });
  }

  addCheck(check: Check, origin: Origin): number {
    this.checkOrigins.push(origin);
    return this.checks.push(check) - 1;
  }

  addVariable(variable: Variable): string {
    this.variables.push(variable);
    return variable.name;
  }

  addElement(element: Element): void {
    this.elements.push(element);
  }
}
