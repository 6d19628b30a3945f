import type { Step } from "../../language/model/index.ts";
import type { InHand, Item, Stage, State, Todo } from "./protocol-state.ts";

/** Lists of what is to be done, each made once, so that a number tells which it is. */
export class Todos {
  readonly #todos = new Map<string, Todo>();
  readonly #itemIds = new Map<string, number>();
  readonly #objectIds = new Map<object, number>();

  listed(steps: readonly Step[], next: Todo | undefined): Todo | undefined {
    return steps.reduceRight<Todo | undefined>((rest, step) => this.todo({ kind: "step", step }, rest), next);
  }

  todo(item: Item, next: Todo | undefined): Todo {
    const key = `${this.#itemId(item)},${next?.id ?? 0}`;
    const known = this.#todos.get(key);
    if (known) return known;
    const todo = { item, next, id: this.#todos.size + 1 };
    this.#todos.set(key, todo);
    return todo;
  }

  objectId(object: object): number {
    const id = this.#objectIds.get(object) ?? this.#objectIds.size + 1;
    this.#objectIds.set(object, id);
    return id;
  }

  keyOf({ inHand, elapsed, todo, interrupted, phase, since, facts }: State): string {
    const hand = (one: InHand) => (one ? ("item" in one ? "" : this.objectId(one)) : 0);
    const before = interrupted
      ? `${hand(interrupted.inHand)}.${interrupted.elapsed}.${interrupted.todo?.id}`
      : "";
    const listed = (record: Record<string, number>) =>
      Object.keys(record)
        .sort()
        .map((name) => `${name}=${record[name]}`)
        .join();
    return `${hand(inHand)}.${elapsed}.${todo?.id}|${before}|${phase}|${listed(since)}|${listed(facts)}`;
  }

  #itemId(item: Item): number {
    const of =
      item.kind === "step" || item.kind === "round"
        ? item.step
        : item.kind === "end-of-stage"
          ? item.stage
          : item.kind === "end"
            ? item.origin
            : undefined;
    const key = `${item.kind} ${of ? this.objectId(of) : ""} ${item.kind === "round" ? item.left : ""}`;
    const id = this.#itemIds.get(key) ?? this.#itemIds.size + 1;
    this.#itemIds.set(key, id);
    return id;
  }
}

export function openStages({ todo }: Pick<State, "todo">): Stage[] {
  const stages: Stage[] = [];
  for (let rest = todo; rest && rest.item.kind !== "go-on"; rest = rest.next) {
    if (rest.item.kind === "end-of-stage") stages.push(rest.item.stage);
  }
  return stages;
}

/** Also those around a handler, for `end stage`. */
export function stagesIn(todo: Todo | undefined): Stage[] {
  const stages: Stage[] = [];
  for (let rest = todo; rest; rest = rest.next)
    if (rest.item.kind === "end-of-stage") stages.push(rest.item.stage);
  return stages;
}

/** The rest of the list from the end of a stage on. */
export function afterInside(todo: Todo | undefined, stage: Stage): Todo | undefined {
  for (let rest = todo; rest; rest = rest.next) {
    if (rest.item.kind === "end-of-stage" && rest.item.stage === stage) return rest;
  }
  return undefined;
}
