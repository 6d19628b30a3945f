// Reads the page that describes the rule file (shared/rule-file/rule-file.md): its parts, and what each field of them holds.

/** The parts of a rule file by their names, as the page has them. Throws at a line that says nothing. */
export function partsOfPage(page) {
  const parts = new Map();
  for (const section of page.split(/^## /m).slice(1)) {
    const [name, ...lines] = section.trim().split("\n");
    parts.set(
      name,
      partOf(
        name,
        lines.filter((line) => line !== ""),
      ),
    );
  }
  return parts;
}

function partOf(name, [description, ...lines]) {
  const [only, ...more] = lines;
  if (only?.startsWith("Is ") || only?.startsWith("One of ")) {
    if (more.length > 0) throw new Error(`${name}: "${more[0]}" stands after what it is.`);
    return { description, ...formOf(name, only.replace(/\.$/, "")) };
  }
  return { description, is: "fields", fields: lines.map((line) => fieldOf(name, line)) };
}

function formOf(name, line) {
  const quantity = line.match(/^Is a (quantity|range) in (.*)$/);
  if (quantity) return { is: quantity[1], units: literalsOf(quantity[2]) };
  if (line.startsWith("Is ")) return typeOf(name, line.slice(3));
  return {
    is: "choice",
    of: line
      .slice("One of ".length)
      .split(", ")
      .map((one) => typeOf(name, one)),
  };
}

const FIELD = /^- `([^`]+)`(\??): (placed )?(.*?)(?: — (.*))?$/;

function fieldOf(part, line) {
  const all = line.match(/^- all of (\w+)$/);
  if (all) return { allOf: all[1] };
  const [, name, optional, placed, type, description] = line.match(FIELD) ?? [];
  if (!name) throw new Error(`${part}: "${line}" is no field.`);
  return {
    name,
    optional: optional === "?",
    placed: placed !== undefined,
    ...typed(part, type),
    description,
  };
}

/** A type with what is said of it behind commas. */
function typed(part, text) {
  const [type, ...said] = text.split(/, (?=at least |at most |in any order|by |where )/);
  const found = { type: typeOf(part, type) };
  for (const one of said) {
    const [, where, is] = one.match(/^where `(\w+)` is `(\w+)`$/) ?? [];
    if (where) found.where = { field: where, is };
    else if (one.startsWith("at least ")) found.type.atLeast = Number(one.slice(9));
    else if (one.startsWith("at most ")) found.type.atMost = Number(one.slice(8));
    else found.type.order = one.replace(/^by /, "");
  }
  return found;
}

const LITERAL = "(?:`[^`]*`|true|\\d+)";
const LITERALS = new RegExp(`^${LITERAL}(?: or ${LITERAL})*$`);

function typeOf(part, text) {
  const [, list, placed, of] = text.match(/^(list|some) of (placed )?(.*)$/) ?? [];
  if (list) return { is: "list", some: list === "some", placed: placed !== undefined, of: typeOf(part, of) };
  if (LITERALS.test(text)) return { is: "literal", values: literalsOf(text) };
  if (text === "yes or no") return { is: "boolean" };
  if (text === "anything") return { is: "anything" };
  const whole = text.match(/^whole number from (\d)$/);
  if (whole) return { is: "integer", from: Number(whole[1]) };
  const map = text.match(/^(\w+) by pointer$/);
  if (map) return { is: "map", of: { is: "part", part: map[1] } };
  const name = text.match(/^(own )?(name of|words for|number of) an? (\w+|`\w+`)$/);
  if (name) {
    const [, own, word, kind] = name;
    const by = kind.startsWith("`") ? { by: kind.slice(1, -1) } : { kind };
    return { is: "name", as: word.split(" ")[0], own: own !== undefined, ...by };
  }
  const words = text.match(/^(text|words)(?: up to (\d+) long)?(?: like `(.*)`)?$/);
  if (words) {
    const [, word, most, like] = words;
    return { is: "text", least: word === "words" ? 1 : 0, most: most && Number(most), like };
  }
  if (/^[A-Z]\w*$/.test(text)) return { is: "part", part: text };
  throw new Error(`${part}: "${text}" is no type.`);
}

function literalsOf(text) {
  return text.split(" or ").map((one) => (one.startsWith("`") ? one.slice(1, -1) : JSON.parse(one)));
}

/** The fields of a part, with those that it takes from another. */
export function fieldsOf(parts, part) {
  return part.fields.flatMap((field) => (field.allOf ? fieldsOf(parts, parts.get(field.allOf)) : [field]));
}

/** The parts that others only take their fields from. */
export function takenParts(parts) {
  return new Set(
    [...parts.values()].flatMap(({ fields }) => fields ?? []).flatMap(({ allOf }) => allOf ?? []),
  );
}
