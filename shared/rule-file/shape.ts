import { pointer, type RuleFileFault } from "./fault.ts";

/** How deep a file may be nested: more than any protocol needs, less than what exhausts the stack. */
const MOST_DEPTH = 200;

/**
 * What is wrong with the shape of a text that is valid JSON: a key that stands twice in one object (of which
 * JSON readers take the last, or the first), or nesting without end. At most one fault is told.
 */
export function shapeFault(json: string): RuleFileFault | undefined {
  const levels: Level[] = [];
  let last = "";
  for (const [token] of json.matchAll(TOKEN)) {
    const level = levels.at(-1);
    if (token === "{") levels.push({ keys: new Set(), key: "" });
    else if (token === "[") levels.push({ keys: undefined, key: 0 });
    else if (token === "}" || token === "]") levels.pop();
    else if (level && !takes(level, token, last)) return twice(levels);
    if (levels.length > MOST_DEPTH) return tooDeep();
    last = token;
  }
  return undefined;
}

/** Follows a level to its next member; false where an object has that key already. */
function takes(level: Level, token: string, last: string): boolean {
  if (token === "," && typeof level.key === "number") level.key += 1;
  if (token !== ":" || !level.keys) return true;
  level.key = JSON.parse(last) as string;
  if (level.keys.has(level.key)) return false;
  level.keys.add(level.key);
  return true;
}

/** An object or an array that is open, and which of its members is being read. */
interface Level {
  readonly keys: Set<string> | undefined;
  key: string | number;
}

/** Strings and the signs of JSON's structure; numbers and words do not matter here. */
const TOKEN = /"(?:[^"\\]|\\.)*"|[{}[\]:,]/g;

function twice(levels: readonly Level[]): RuleFileFault {
  const where = levels.reduce((path, { key }) => pointer(path, key), "");
  return {
    where,
    what: `The field \`${levels.at(-1)?.key}\` stands twice.`,
    why: "Programs differ in which of the two they read.",
  };
}

function tooDeep(): RuleFileFault {
  return {
    where: "",
    what: `The file is nested deeper than ${MOST_DEPTH} levels.`,
    why: "No protocol needs that, and a reader could exhaust the memory of its computer.",
  };
}
