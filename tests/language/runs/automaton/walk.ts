import { clockText } from "@limbwright/shared/quantity";
import {
  type Automaton,
  clockAt,
  type Edge,
  locationOf,
  type Machine,
  type Move,
  machineOf,
  type Standing,
  VARIABLES_FROM,
} from "@limbwright/shared/runtime";
import type { Protocol } from "../../../../language/model/index.ts";
import { timingOf } from "../../../../language/rules/engine/runs-for.ts";
import { buildAutomaton } from "../../../../language/runs/index.ts";
import { protocolOf, type SmallProtocol } from "../small-protocol.ts";

/** Begins a run of a small protocol: it stands at its first step that takes time, or where there is a choice. */
export function begin(parts: SmallProtocol | Protocol, leaks?: "one" | "both"): Walk {
  const protocol = "name" in parts ? parts : protocolOf(parts);
  const options = { timing: timingOf(protocol), watchers: [], ...(leaks && { leaks }) };
  return new Walk(buildAutomaton(protocol, options).automaton);
}

/** One run that is stepped by hand. What takes no time and leaves no choice happens by itself. */
export class Walk {
  readonly #automaton: Automaton;
  readonly #machine: Machine;
  #standing: Standing;

  constructor(automaton: Automaton) {
    this.#automaton = automaton;
    this.#machine = machineOf(automaton);
    this.#standing = this.#machine.start();
    this.#goOn();
  }

  /** The step in hand, or what the run stands before. */
  get inHand(): string {
    return this.#automaton.locations[locationOf(this.#standing.state)]?.name ?? "";
  }

  /** The time of the last thing that happened. */
  get time(): string {
    return clockText(this.#standing.at);
  }

  /** Both: "wait 5 min at 1:00". */
  get now(): string {
    return `${this.inHand} at ${this.time}`;
  }

  /** What may happen next, and when: "rain 0:00 or later", "tourniquet-pain 0:00 to 5:00", "wait 5 min ends at 5:00". */
  get may(): string[] {
    return this.#moves()
      .map(({ move, name }) => `${name} ${this.#spanText(move)}`)
      .sort();
  }

  /** Something happens, in the words of `may`, at a time; throws where it may not. */
  happens(name: string, time: string): this {
    this.#take(name, time);
    this.#goOn();
    return this;
  }

  /** Whether something may happen at a time. */
  can(name: string, time: string): boolean {
    return this.#moves().some(
      (one) =>
        one.name === name &&
        this.#isTaken(this.#machine.take(this.#standing, one.move.edge, secondsOf(time))),
    );
  }

  /** The value of a variable in words: "flat", "yes", "2". */
  is(variable: string): string {
    const at = this.#automaton.variables.findIndex(({ name }) => name === variable);
    const value = this.#standing.state[VARIABLES_FROM + at];
    if (at < 0 || value === undefined) throw new Error(`there is no variable ${variable}`);
    return this.#automaton.variables[at]?.values?.[value] ?? `${value}`;
  }

  /** What a clock shows at a time. */
  clock(name: string, time: string): string {
    if (!this.#automaton.clocks.includes(name)) throw new Error(`there is no clock ${name}`);
    return clockText(clockAt(this.#standing, name, secondsOf(time)));
  }

  #take(name: string, time: string): void {
    const fitting = this.#moves().filter((one) => one.name === name);
    const tried = fitting.map(({ move }) => this.#machine.take(this.#standing, move.edge, secondsOf(time)));
    const taken = tried.find((one) => this.#isTaken(one));
    if (!taken || !this.#isTaken(taken)) {
      throw new Error(`${name} cannot be at ${time}; what can: ${this.may.join(", ") || "nothing"}`);
    }
    this.#standing = taken;
  }

  #isTaken(result: ReturnType<Machine["take"]>): result is Standing {
    return !("kind" in result);
  }

  /** Takes what takes no time, as long as it is the only thing that can happen and nobody decides it. */
  #goOn(): void {
    for (;;) {
      const [only, ...others] = this.#moves();
      const isForced = only && others.length === 0 && !only.edge.decision;
      if (!isForced || this.#machine.lastMoment(this.#standing) !== this.#standing.at) return;
      if (only.edge.kind === "finish") return;
      this.#take(only.name, this.time);
    }
  }

  #moves(): { readonly move: Move; readonly edge: Edge; readonly name: string }[] {
    return this.#machine.movesAt(this.#standing).moves.flatMap((move) => {
      const edge = this.#automaton.edges[move.edge];
      if (!edge || !this.#machine.spanOf(this.#standing, move)) return [];
      return [{ move, edge, name: edge.kind === "end" ? `${edge.says} ends` : edge.says }];
    });
  }

  #spanText(move: Move): string {
    const span = this.#machine.spanOf(this.#standing, move);
    if (!span) return "never";
    const from = `${span.after ? "after " : ""}${clockText(span.from)}`;
    if (span.to === undefined) return `${from} or later`;
    if (span.to === span.from) return `at ${from}`;
    return `${from} to ${span.open ? "before " : ""}${clockText(span.to)}`;
  }
}

/** "1:30" is 90. */
function secondsOf(time: string): number {
  return time.split(":").reduce((seconds, part) => seconds * 60 + Number(part), 0);
}
