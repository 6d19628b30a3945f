import { canonicalText, pointer } from "@limbwright/shared/rule-file";

/** One place at which a file differs from what was computed again. */
export interface Difference {
  /** JSON Pointer of the place in the file. */
  readonly where: string;
  /** A sentence: what the file says and what was computed again. */
  readonly what: string;
}

/** The places at which two JSON values differ: what is recorded in a file, and what was computed again. */
export function differencesBetween(recorded: unknown, computed: unknown, path: string): Difference[] {
  if (Object.is(recorded, computed)) return [];
  if (!isObject(recorded) || !isObject(computed) || Array.isArray(recorded) !== Array.isArray(computed)) {
    return [
      { where: path, what: `The file says ${told(recorded)}; computed again it is ${told(computed)}.` },
    ];
  }
  if (isVerdict(recorded) && isVerdict(computed) && recorded.kind !== computed.kind) {
    const verdicts = `The file says that \`${recorded.rule}\` ${WORDS[recorded.kind]}; judged again it ${WORDS[computed.kind]}.`;
    return [{ where: path, what: verdicts }];
  }
  if (Array.isArray(recorded) && Array.isArray(computed) && recorded.length !== computed.length) {
    return membersThatDiffer(recorded, computed, path);
  }
  const keys = new Set([...Object.keys(recorded), ...Object.keys(computed)]);
  return [...keys].flatMap((key) => differencesBetween(recorded[key], computed[key], pointer(path, key)));
}

/** Lists of different lengths: what only one of them has. */
function membersThatDiffer(
  recorded: readonly unknown[],
  computed: readonly unknown[],
  path: string,
): Difference[] {
  const added = withoutThose(recorded, computed).map(([member, at]) => ({
    where: pointer(path, at),
    what: `The file has ${told(member)}; computed again it is not there.`,
  }));
  const missing = withoutThose(computed, recorded).map(([member]) => ({
    where: path,
    what: `The file lacks ${told(member)}; computed again it is there.`,
  }));
  return [...added, ...missing];
}

/** The members of a list, with their places, that are left when those of another are taken away one by one. */
function withoutThose(list: readonly unknown[], others: readonly unknown[]): (readonly [unknown, number])[] {
  const left = new Map<string, number>();
  for (const text of others.map(canonicalText)) left.set(text, (left.get(text) ?? 0) + 1);
  return list.flatMap((member, at) => {
    const text = canonicalText(member);
    const count = left.get(text) ?? 0;
    left.set(text, count - 1);
    return count > 0 ? [] : [[member, at] as const];
  });
}

type Fields = Readonly<Record<string, unknown>>;

function isObject(value: unknown): value is Fields {
  return typeof value === "object" && value !== null;
}

interface VerdictWords extends Fields {
  readonly rule: string;
  readonly kind: keyof typeof WORDS;
}

const WORDS = {
  holds: "holds",
  broken: "is broken",
  answered: "is answered",
  "not-decided": "is not decided",
};

function isVerdict(value: Fields): value is VerdictWords {
  return typeof value.rule === "string" && typeof value.kind === "string" && value.kind in WORDS;
}

const MOST_CHARACTERS = 120;

function told(value: unknown): string {
  if (value === undefined) return "nothing";
  if (isObject(value) && typeof value.says === "string") return `\`${value.says}\` (${value.kind})`;
  const text = JSON.stringify(value);
  return text.length > MOST_CHARACTERS ? `${text.slice(0, MOST_CHARACTERS)}…` : text;
}
