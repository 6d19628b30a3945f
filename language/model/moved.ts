import type { Origin, Place } from "@limbwright/shared/finding";

/** How the places of one file moved: those up to `lastUnmoved` did not, those from `firstMoved` on all did by as much. */
interface FileMove {
  lastUnmoved: number;
  firstMoved: number;
  offset: number;
  line: number;
}

/** By file, how the places of one model stand to those of another that says the same. */
type Movement = ReadonlyMap<string, FileMove>;

/**
 * Whether two models say the same, wherever in their files it stands; undefined when they do not. A place may have moved
 * by whole lines or by an edit earlier in the file, as all those behind it did, but not within its line.
 */
export function movementBetween(before: unknown, now: unknown): Movement | undefined {
  const moves = new Map<string, FileMove>();
  if (!saysTheSame(before, now, moves)) return undefined;
  return [...moves.values()].every(({ lastUnmoved, firstMoved }) => lastUnmoved < firstMoved)
    ? moves
    : undefined;
}

/**
 * A value made from the earlier model, with every place in it moved to where it stands in the later one. Undefined where
 * it has a place of which that cannot be said.
 */
export function moveOrigins<T>(value: T, movement: Movement): T | undefined {
  if ([...movement.values()].every(({ firstMoved }) => firstMoved === Number.POSITIVE_INFINITY)) return value;
  try {
    return moveValue(value, { movement, known: new Map() }) as T;
  } catch (error) {
    if (error instanceof PlaceUnknown) return undefined;
    throw error;
  }
}

class PlaceUnknown extends Error {}

function saysTheSame(before: unknown, now: unknown, moves: Map<string, FileMove>): boolean {
  if (Object.is(before, now)) return true;
  if (!isObject(before) || !isObject(now)) return false;
  if (Array.isArray(before)) {
    return (
      Array.isArray(now) &&
      before.length === now.length &&
      before.every((one, index) => saysTheSame(one, now[index], moves))
    );
  }
  if (Object.getPrototypeOf(before) !== Object.getPrototypeOf(now)) return false;
  if (isOrigin(before) && isOrigin(now)) return isMoved(before, now, moves);
  const names = Object.keys(before);
  return (
    names.length === Object.keys(now).length &&
    names.every((name) => name in now && saysTheSame(before[name], now[name], moves))
  );
}

function isMoved(before: Origin, now: Origin, moves: Map<string, FileMove>): boolean {
  return (
    before.file === now.file &&
    isPlaceMoved(before.start, now.start, before.file, moves) &&
    isPlaceMoved(before.end, now.end, before.file, moves)
  );
}

function isPlaceMoved(before: Place, now: Place, file: string, moves: Map<string, FileMove>): boolean {
  const offset = now.offset - before.offset;
  const line = now.line - before.line;
  if (now.column !== before.column) return false;
  const known = moves.get(file) ?? {
    lastUnmoved: -1,
    firstMoved: Number.POSITIVE_INFINITY,
    offset: 0,
    line: 0,
  };
  moves.set(file, known);
  if (offset === 0 && line === 0) {
    known.lastUnmoved = Math.max(known.lastUnmoved, before.offset);
    return true;
  }
  if (known.firstMoved === Number.POSITIVE_INFINITY) Object.assign(known, { offset, line });
  known.firstMoved = Math.min(known.firstMoved, before.offset);
  return known.offset === offset && known.line === line;
}

interface Moving {
  readonly movement: Movement;
  /** What was moved already: values that share a part share it afterwards too. */
  readonly known: Map<object, unknown>;
}

function moveValue(value: unknown, moving: Moving): unknown {
  // An exact number is an object of a class of its own; it holds no place.
  if (!isObject(value) || !(Array.isArray(value) || isPlain(value))) return value;
  if (moving.known.has(value)) return moving.known.get(value);
  const result = isOrigin(value) ? moveOrigin(value, moving.movement) : moveParts(value, moving);
  moving.known.set(value, result);
  return result;
}

function moveOrigin(origin: Origin, movement: Movement): Origin {
  const { file } = origin;
  const move = movement.get(file);
  if (!move) return origin;
  const [start, end] = [movePlace(origin.start, move), movePlace(origin.end, move)];
  return start === origin.start && end === origin.end ? origin : { file, start, end };
}

/** The value itself where none of its parts has moved. */
function moveParts(value: object, moving: Moving): object {
  const parts = Object.entries(value).map(([name, one]) => [name, moveValue(one, moving)] as const);
  if (parts.every(([name, one]) => one === (value as Record<string, unknown>)[name])) return value;
  return Array.isArray(value) ? parts.map(([, one]) => one) : Object.fromEntries(parts);
}

function movePlace(place: Place, move: FileMove): Place {
  if (place.offset <= move.lastUnmoved) return place;
  if (place.offset < move.firstMoved) throw new PlaceUnknown();
  return {
    line: place.line + move.line,
    column: place.column,
    offset: place.offset + move.offset,
  };
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null;
}

function isPlain(value: object): boolean {
  return Object.getPrototypeOf(value) === Object.prototype;
}

function isOrigin(value: object): value is Origin {
  return "file" in value && "start" in value && "end" in value;
}
