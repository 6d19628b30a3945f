import { type Quantity, quantity, rational } from "@limbwright/shared/quantity";
import { type Agent, canonicalName } from "../../model/index.ts";
import type { SourceId } from "../sources/sources.ts";
import { codeOf, isLipidEmulsion, isMethylthioninium, SUBSTANCE_CODE, wordsOf } from "./drugs.ts";
import { withoutAbsent } from "./solution-words.ts";

/**
 * Drugs that were mixed into the local anaesthetic of an intravenous regional anaesthesia, and what was published of it: the most
 * that was given, and whether it helped. Codes are from memory.
 */
export interface PublishedMixture {
  /** Under the program's one spelling, see `canonicalName`; the first is the name used here. */
  readonly names: readonly [string, ...string[]];
  readonly codes: readonly string[];
  /** The most that a published trial mixed in; undefined where the texts that were read name no amount. */
  readonly most?: Quantity;
  /** What the trials found, all in all. */
  readonly found: "helps" | "adds little";
  /** Why it is doubtful although trials gave it. */
  readonly doubt?: "paralyses";
  readonly source: SourceId;
}

export const PUBLISHED: readonly PublishedMixture[] = [
  // Anti-inflammatory drugs and simple analgesics.
  mixture(["ketorolac"], ["M01AB15", "S01BC05"], "helps", "reuben-duprat-1996", "60 mg"),
  mixture(["tenoxicam"], ["M01AC02"], "helps", "choyce-peng-2002"),
  mixture(["lornoxicam"], ["M01AC05"], "helps", "mogahed-2017", "8 mg"),
  mixture(["ketoprofen"], ["M01AE03"], "helps", "pethidine-ketoprofen-2014", "100 mg"),
  mixture(
    ["acetylsalicylate", "aspirin", "acetylsalicylic-acid", "lysine-acetylsalicylate"],
    ["N02BA01", "B01AC06"],
    "helps",
    "choyce-peng-2002",
  ),
  mixture(["paracetamol", "acetaminophen"], ["N02BE01"], "helps", "paracetamol-morphine-trial", "300 mg"),
  // Clonidine and its like.
  mixture(["clonidine"], ["C02AC01", "N02CX02", "S01EA04"], "helps", "adjunct-trials-remembered", "150 mcg"),
  mixture(["dexmedetomidine"], ["N05CM18"], "helps", "elramely-2016", "1 mcg/kg"),
  // Opioids.
  mixture(["fentanyl"], ["N01AH01", "N02AB03"], "adds little", "adjunct-trials-remembered", "200 mcg"),
  mixture(["morphine"], ["N02AA01"], "adds little", "adjunct-trials-remembered", "6 mg"),
  mixture(["pethidine", "meperidine"], ["N02AB02"], "adds little", "adjunct-trials-remembered", "60 mg"),
  mixture(["sufentanil"], ["N01AH03"], "adds little", "adjunct-trials-remembered", "25 mcg"),
  mixture(["tramadol"], ["N02AX02"], "adds little", "adjunct-trials-remembered", "100 mg"),
  mixture(["nalbuphine"], ["N02AF02"], "adds little", "elramely-2016", "20 mg"),
  // Others.
  mixture(["dexamethasone"], ["H02AB02"], "helps", "bigat-2006", "8 mg"),
  mixture(["magnesium"], ["A12CC02", "B05XA05"], "helps", "magnesium-clonidine-trial", "1500 mg"),
  mixture(
    ["nitroglycerin", "nitroglycerine", "glyceryl-trinitrate", "trinitrate"],
    ["C01DA02"],
    "helps",
    "sen-2006",
    "200 mcg",
  ),
  mixture(["ketamine"], ["N01AX03"], "helps", "ketamine-2023", "50 mg"),
  mixture(["midazolam"], ["N05CD08"], "helps", "midazolam-2012", "50 mcg/kg"),
  mixture(["neostigmine"], ["N07AA01"], "adds little", "mccartney-2003", "1 mg"),
  mixture(["bicarbonate"], ["B05XA02", "B05CB04"], "adds little", "alkalinised-lidocaine-1990"),
  // Drugs that paralyse: given in a small part of what is used for an anaesthetic.
  paralysing(["atracurium"], ["M03AC04"], "atracurium-doses-trial", "3 mg"),
  paralysing(["mivacurium"], ["M03AC10"], "mivacurium-volunteers", "0.6 mg"),
  paralysing(["pancuronium"], ["M03AC01"], "adjunct-trials-remembered", "0.5 mg"),
  paralysing(["cisatracurium"], ["M03AC11"], "adjunct-trials-remembered", "10 mcg/kg"),
  paralysing(["vecuronium"], ["M03AC03"], "vecuronium-trial-1998", "7 mcg/kg"),
];

function mixture(
  names: PublishedMixture["names"],
  codes: readonly string[],
  found: PublishedMixture["found"],
  source: SourceId,
  most?: string,
): PublishedMixture {
  const [amount = "", unit = ""] = most?.split(" ") ?? [];
  return {
    names,
    codes,
    found,
    source,
    ...(most !== undefined && { most: quantity(rational(amount), unit) }),
  };
}

function paralysing(
  names: PublishedMixture["names"],
  codes: readonly string[],
  source: SourceId,
  most: string,
): PublishedMixture {
  return { ...mixture(names, codes, "helps", source, most), doubt: "paralyses" };
}

/** Salts and words for a form, which make a drug no other one. */
const FORMS: ReadonlySet<string> = new Set(
  `sulfate sulphate chloride hydrochloride citrate tartrate sodium phosphate besilate besylate tromethamine trometamol lysine acid
  injection solution ampoule ampoules iv plain preservative free`.split(/\s+/),
);

/**
 * What was published of mixing in an agent, known by its name, and by its code where it has no such name. Where name and code do
 * not agree, nobody can say which drug it is, and nothing is known of it.
 */
export function publishedMixture(agent: Agent): PublishedMixture | undefined {
  const code = codeOf(agent);
  const named = PUBLISHED.find(({ names }) => isNamed(agent.name, names));
  const coded = PUBLISHED.find(({ codes }) => code !== undefined && codes.includes(code));
  if (!named) return coded;
  const agrees = code === undefined || !SUBSTANCE_CODE.test(code) || named === coded;
  return agrees ? named : undefined;
}

/** `magnesium-sulfate-50-percent` is magnesium; `ketorolac-mixture` is not known to be ketorolac alone. */
function isNamed(name: string, names: readonly string[]): boolean {
  if (names.includes(canonicalName(name))) return true;
  const parts = name
    .split(/[-_]/)
    .map(canonicalName)
    .filter((part) => !FORMS.has(part) && !/^(?:\d.*|percent|mg|mcg|ml|g)$/.test(part));
  const [only] = parts;
  return parts.length === 1 && only !== undefined && names.includes(only);
}

/** Why a drug may on no account be behind the cuff. */
export interface Danger {
  /** "paralyses": a few words for the margin. */
  readonly label: string;
  /** What completes "… mixes in rocuronium, which …". */
  readonly because: string;
}

interface KnownDanger extends Danger {
  readonly names: RegExp;
  readonly codes: RegExp;
}

/** Names and codes are from memory; so is what these drugs do. */
const DANGERS: readonly KnownDanger[] = [
  {
    label: "paralyses",
    because: "paralyses: what gets past the cuff, or is let go with it, stops the breathing",
    names:
      /^(?:suxamethonium|succinylcholine|suxethonium|gallamine|alcuronium|\p{L}*(?:curonium|curium|curarine)|botulinum)$/u,
    codes: /^M03A/,
  },
  {
    label: "stops the heart",
    because: "stops the heart when the cuff fails or is let down",
    names: /^(?:potassium|kcl|cardioplegia|cardioplegic)$/,
    codes: /^(?:A12BA|B05XA(?:01|06|16))/,
  },
  {
    label: "an anaesthetic for sleep",
    because: "puts to sleep whoever it reaches, without anybody at the airway",
    names: /^(?:propofol|thiopental|thiopentone|methohexital|methohexitone|etomidate)$/,
    codes: /^N01A(?:F|X(?:07|10|15))/,
  },
  {
    label: "no drug for a vein",
    because: "is not for a vein at all",
    names: /^(?:chlorhexidine|povidone|iodine|phenol|ethanol|alcohol|formaldehyde|formalin|peroxide)$/,
    codes: /^D08A/,
  },
];

const RESCUE: Danger = {
  label: "a drug for rescue",
  because: "is kept for the rescue: behind a cuff it helps nobody, and it is missing when it is needed",
};

/** Whether an agent must not be mixed in, by a part of its name or title, or by its code; undefined where it is not known to be so. */
export function dangerOf(agent: Agent): Danger | undefined {
  const code = codeOf(agent) ?? "";
  const words = [
    ...wordsOf(agent.name),
    ...withoutAbsent(agent.title ?? "")
      .split(/[^\p{L}\d]+/u)
      .map(canonicalName),
  ];
  const known = DANGERS.find(
    ({ names, codes }) => codes.test(code) || words.some((word) => names.test(word)),
  );
  if (known) return known;
  const isRescue = agent.kind?.value === "rescue" && publishedMixture(agent) === undefined;
  return isRescue || isLipidEmulsion(agent) || isMethylthioninium(agent) ? RESCUE : undefined;
}

/** A diluent and no drug: saline. */
export function isDiluent(agent: Agent): boolean {
  const code = codeOf(agent);
  return isNamed(agent.name, ["saline", "sodium-chloride"]) || code === "B05BB01" || code === "B05XA03";
}
