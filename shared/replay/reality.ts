import { ruleKey } from "../runtime/broken.ts";
import { INTERRUPTED, isBroken, LOCATION, type State } from "../runtime/index.ts";
import type { Program } from "../runtime/program.ts";
import type { Slip } from "./slip.ts";
import type { Stepper } from "./stepper.ts";
import { momentValue, type Way } from "./way.ts";

/** A moment that something is put down to: when, in which line of the record, and to which slip. */
export interface Because {
  readonly at: number;
  readonly line: number;
  readonly slip: Slip | undefined;
}

/**
 * What was really done, where a slip makes it differ from what the protocol goes on with. Rules that are broken here alone are
 * what the slip led to.
 */
export class Reality {
  #state: State;
  readonly #began: Float64Array;
  readonly #program: Program;
  readonly #stepper: Stepper;

  constructor(program: Program, stepper: Stepper, state: State, began: Float64Array) {
    this.#program = program;
    this.#stepper = stepper;
    this.#state = state;
    this.#began = began.slice();
  }

  /** What is done beside the protocol changes what is so, not where the protocol is. */
  happenBeside(edge: number, state: State, because: Because): void {
    this.#happen(edge, because, new Set());
    this.#state = placeAt(this.#state, state);
  }

  /** The protocol goes on along a way; `began` are its clocks before that. */
  goAlong(way: Way, began: Float64Array, because: Because): void {
    const { checks } = this.#program.automaton;
    const asked = way.asks.flatMap(({ asked: one }) => (one.kind === "rule" ? [one.check] : []));
    const expected = new Set([...asked, ...way.broken].map((check) => ruleKey(checks[check])));
    for (const { edge, at, passedOver } of way.moves) {
      if (passedOver) continue;
      this.#happen(edge, { ...because, at: momentValue(at, began, because.at) }, expected);
    }
    this.#state = placeAt(this.#state, way.target);
  }

  /** Whether nothing of a slip is left. */
  isLike(state: State, began: Float64Array): boolean {
    const { clocks } = this.#stepper;
    return (
      this.#state.every((value, index) => value === state[index]) &&
      this.#began.subarray(0, clocks).every((value, index) => value === began[index])
    );
  }

  #happen(edge: number, because: Because, expected: ReadonlySet<string>): void {
    const move = this.#stepper.forced(this.#state, edge);
    if (!move) return;
    const { clocks } = this.#program.automaton;
    for (const check of move.checks) this.#judge(check, because, expected);
    this.#state = move.next;
    for (const clock of move.resets) this.#began[clocks.indexOf(clock)] = because.at;
  }

  #judge(number: number, { at, line, slip }: Because, expected: ReadonlySet<string>): void {
    const { clocks, checks } = this.#program.automaton;
    const check = checks[number];
    if (!check || !slip || expected.has(ruleKey(check))) return;
    const began = Object.fromEntries(clocks.map((clock, index) => [clock, this.#began[index] as number]));
    if (isBroken(check, { state: this.#state, at, began }, at)) slip.noteLaterRule(check, at, line);
  }
}

/** The same facts at another place of the protocol. */
function placeAt(state: State, at: State): State {
  return state.with(LOCATION, at[LOCATION] as number).with(INTERRUPTED, at[INTERRUPTED] as number);
}
