import { pointer } from "@limbwright/shared/rule-file";

/** The places at which two JSON values differ: what is recorded in a file, and what was computed again. */
export function differencesBetween(
  recorded: unknown,
  computed: unknown,
  path: string,
): { readonly where: string; readonly what: string }[] {
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
  const keys = new Set([...Object.keys(recorded), ...Object.keys(computed)]);
  return [...keys].flatMap((key) => differencesBetween(recorded[key], computed[key], pointer(path, key)));
}

type Fields = Readonly<Record<string, unknown>>;

function isObject(value: unknown): value is Fields {
  return typeof value === "object" && value !== null;
}

interface VerdictWords extends Fields {
  readonly rule: string;
  readonly kind: keyof typeof WORDS;
}

const WORDS = { holds: "holds", broken: "is broken", "not-decided": "is not decided" };

function isVerdict(value: Fields): value is VerdictWords {
  return typeof value.rule === "string" && typeof value.kind === "string" && value.kind in WORDS;
}

const MOST_CHARACTERS = 120;

function told(value: unknown): string {
  if (value === undefined) return "nothing";
  const text = JSON.stringify(value);
  return text.length > MOST_CHARACTERS ? `${text.slice(0, MOST_CHARACTERS)}…` : text;
}
