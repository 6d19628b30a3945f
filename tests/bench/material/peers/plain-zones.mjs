// The same search as the zone engine's, as one would first write it down: a matrix of plain numbers for every
// zone, closed from scratch after each change, all clocks kept, and no decisions, deadlines or budget.

const INFINITY = Number.POSITIVE_INFINITY;

/** Bounds are twice their value, plus one when the value itself is allowed. */
const add = (a, b) => (a === INFINITY || b === INFINITY ? INFINITY : a + b - ((a | b) & 1));
const valueIn = (bound) => Math.floor(bound / 2);

/** How many zones there are, and how many edges are taken. Breadth first, with inclusion for each state. */
export function explorePlainly(system) {
  const size = system.clockCount + 1;
  const passed = new Map();
  const waiting = [];
  let transitions = 0;

  const store = (state, entered) => {
    const zone = delayed(system, state, entered, size);
    const others = passed.get(state) ?? [];
    if (others.some((other) => includes(other.zone, zone))) return;
    const node = { state, zone, isCovered: false };
    for (const other of others) other.isCovered = includes(zone, other.zone);
    passed.set(state, [...others.filter((other) => !other.isCovered), node]);
    waiting.push(node);
  };

  store(system.initial, new Array(size * size).fill(1));
  for (let at = 0; at < waiting.length; at += 1) {
    const { state, zone, isCovered } = waiting[at];
    if (isCovered) continue;
    for (const edge of system.edgesFrom(state)) {
      const guarded = constrained(zone, edge.guard, size);
      const entered =
        guarded && constrained(reset(guarded, edge.resets, size), system.invariantOf(edge.target), size);
      if (!entered) continue;
      transitions += 1;
      store(edge.target, entered);
    }
  }
  const zones = [...passed.values()].reduce((sum, nodes) => sum + nodes.length, 0);
  return { zones, transitions };
}

function delayed(system, state, entered, size) {
  const later = [...entered];
  for (let clock = 1; clock < size; clock += 1) later[clock * size] = INFINITY;
  return extrapolated(system, state, constrained(later, system.invariantOf(state), size), size);
}

function constrained(zone, constraints, size) {
  const tighter = [...zone];
  for (const { clock, kind, limit } of constraints) {
    const isUpper = kind === "at-most" || kind === "under";
    const at = isUpper ? clock * size : clock;
    const bound = 2 * (isUpper ? limit : -limit) + (kind === "at-most" || kind === "at-least" ? 1 : 0);
    tighter[at] = Math.min(tighter[at], bound);
  }
  return closed(tighter, size);
}

function reset(zone, clocks, size) {
  const after = [...zone];
  for (const clock of clocks) {
    for (let other = 0; other < size; other += 1) {
      after[clock * size + other] = after[other];
      after[other * size + clock] = after[other * size];
    }
    after[clock * size + clock] = 1;
  }
  return after;
}

function extrapolated(system, state, zone, size) {
  const lower = system.lowerBoundsOf(state);
  const upper = system.upperBoundsOf(state);
  const wider = zone.map((bound, at) => {
    const [row, column] = [Math.floor(at / size), at % size];
    if (row === column) return bound;
    const isPastUpper = column > 0 && -valueIn(zone[column]) > upper[column];
    if (row === 0) return isPastUpper ? Math.min(1, -2 * upper[column]) : bound;
    const isPastLower = valueIn(bound) > lower[row] || -valueIn(zone[row]) > lower[row];
    return isPastUpper || isPastLower ? INFINITY : bound;
  });
  return closed(wider, size);
}

/** Undefined when there are no points. */
function closed(zone, size) {
  for (let middle = 0; middle < size; middle += 1) {
    for (let row = 0; row < size; row += 1) {
      for (let column = 0; column < size; column += 1) {
        const through = add(zone[row * size + middle], zone[middle * size + column]);
        if (through < zone[row * size + column]) zone[row * size + column] = through;
      }
    }
  }
  for (let clock = 0; clock < size; clock += 1) if (zone[clock * size + clock] < 1) return undefined;
  return zone;
}

function includes(outer, inner) {
  return outer.every((bound, at) => bound >= inner[at]);
}
