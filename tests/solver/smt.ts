import { init, killThreads } from "z3-solver";

export type SolverAnswer = "sat" | "unsat" | "unknown";

/**
 * The independent solver. It takes SMT-LIB text whose last command is one `(check-sat)`; no logic may be
 * set. `unknown` is its answer when the question cost more than it may.
 */
export interface Solver {
  readonly ask: (text: string) => SolverAnswer;
  /** Ends its threads; without it the process would not end. */
  readonly stop: () => Promise<void>;
}

/** The one function of the compiled solver that is called directly; see `startSolver`. */
interface Machine {
  readonly ccall: (
    name: string,
    returns: "string",
    takes: readonly ("number" | "string")[],
    given: readonly unknown[],
  ) => string;
}

/** A few seconds of work; counted in the solver's own steps, so that it is the same on every machine. */
const MOST_STEPS = 5_000_000;

/**
 * Starts z3. Every question gets a context of its own. z3 goes on after an error in the text and still
 * prints an answer, so anything but one clean word is refused.
 *
 * The package's own `eval_smtlib2_string` is not used: it hands the text to another thread on a stack that
 * is taken back at once, and now and then the solver reads a text that has been overwritten. The same
 * function called in this thread is safe, and faster.
 */
export async function startSolver(mostSteps = MOST_STEPS): Promise<Solver> {
  const { Z3, em } = await init();
  const machine: Machine = em;
  const evaluated = (text: string): string => {
    const configuration = Z3.mk_config();
    const context = Z3.mk_context(configuration);
    Z3.del_config(configuration);
    try {
      const limited = `(set-option :rlimit ${mostSteps})\n${text}`;
      return machine.ccall("Z3_eval_smtlib2_string", "string", ["number", "string"], [context, limited]);
    } finally {
      Z3.del_context(context);
    }
  };
  return {
    ask: (text) => {
      const output = evaluated(text).trim();
      if (output === "sat" || output === "unsat" || output === "unknown") return output;
      throw new Error(`the solver did not answer: ${output}\n${text}`);
    },
    stop: () => killThreads(em),
  };
}

/** A rational in SMT-LIB, where a bare negative number or a fraction is not a literal. */
export function smtNumber({
  s,
  n,
  d,
}: {
  readonly s: bigint;
  readonly n: bigint;
  readonly d: bigint;
}): string {
  const magnitude = d === 1n ? `${n}.0` : `(/ ${n}.0 ${d}.0)`;
  return s < 0n && n !== 0n ? `(- ${magnitude})` : magnitude;
}

/** All of them; true of none. */
export function smtAnd(parts: readonly string[]): string {
  return parts.length === 0 ? "true" : `(and ${parts.join(" ")})`;
}

/** Any of them; false of none. */
export function smtOr(parts: readonly string[]): string {
  return parts.length === 0 ? "false" : `(or ${parts.join(" ")})`;
}
