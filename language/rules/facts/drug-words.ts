/**
 * What a free text says of drugs: which it names, whether it gives one, and whether it says an amount. Names are international
 * ones; words that only check, ask or forbid are told apart from those that give.
 */

export type DrugClass = "local-anaesthetic" | "sedating" | "other";

export interface SaidOfDrugs {
  /** Every drug that is named, and words for a class of them, as written. */
  readonly drugs: readonly { readonly word: string; readonly of: DrugClass }[];
  /** "20 mL", "5 mg": the first amount that can be a dose; a strength such as "1 %" is none. */
  readonly amount?: string;
  /** Whether that amount is a mass, which only a drug has. */
  readonly isMass: boolean;
  /** Whether something is given: "give", "infiltrates", "top up with". */
  readonly gives: boolean;
  /** Whether somebody infiltrates or blocks a nerve, which is done with a local anaesthetic, named or not. */
  readonly infiltrates: boolean;
  /** Whether it asks whether something is wanted: "needed?", "more?". */
  readonly wants: boolean;
  /** Whether the text asks, checks, counts or records. */
  readonly checks: boolean;
  /** Whether it is for later, at home: "take-home codeine". */
  readonly isForHome: boolean;
  /** Whether it forbids, or stops. */
  readonly forbids: boolean;
}

const NAMES: Readonly<Record<DrugClass, readonly string[]>> = {
  "local-anaesthetic": words(
    `lidocaine lignocaine prilocaine bupivacaine levobupivacaine ropivacaine mepivacaine chloroprocaine procaine articaine
    tetracaine amethocaine etidocaine cocaine benzocaine cinchocaine dibucaine`,
  ),
  sedating: words(
    `midazolam diazepam lorazepam temazepam oxazepam clonazepam remimazolam propofol ketamine esketamine etomidate thiopental
    thiopentone methohexital methohexitone dexmedetomidine clonidine fentanyl alfentanil sufentanil remifentanil morphine
    diamorphine hydromorphone oxycodone codeine dihydrocodeine pethidine meperidine tramadol tapentadol buprenorphine nalbuphine
    butorphanol methadone piritramide haloperidol droperidol promethazine hydroxyzine sevoflurane isoflurane
    desflurane methoxyflurane nitrous
    sedate sedates sedated sedating sedation sedative sedatives premedicate premedication premed anxiolysis anxiolytic
    opioid opioids opiate opiates benzodiazepine benzodiazepines hypnotic hypnotics`,
  ),
  other: words(
    `adrenaline epinephrine noradrenaline norepinephrine ephedrine phenylephrine metaraminol vasopressin atropine
    glycopyrronium glycopyrrolate amiodarone labetalol esmolol neostigmine rocuronium suxamethonium succinylcholine vecuronium
    atracurium cisatracurium mivacurium ketorolac parecoxib dexamethasone magnesium naloxone flumazenil methylthioninium
    phenytoin levetiracetam bicarbonate hyaluronidase phentolamine`,
  ),
};

const CLASS_OF: ReadonlyMap<string, DrugClass> = new Map(
  (Object.keys(NAMES) as DrugClass[]).flatMap((of) => NAMES[of].map((name) => [name, of] as const)),
);

/** Whether a word is the name of a drug that makes sleepy, or of a class of them. */
export function isSedatingName(word: string): boolean {
  return CLASS_OF.get(word) === "sedating";
}

const GIVING = new Set(
  words(
    `give gives giving given inject injects injecting injected administer administers administered infuse infuses titrate titrates
    titrated push bolus sedate sedates sedated premedicate top top-up topup supplement supplements add adds instil instils
    instill instills spray sprays repeat repeats`,
  ),
);

const INFILTRATING =
  /\binfiltrat(e|es|ed|ing|ion|ions)\b|\b(nerve|ring|field|digital|axillary|plexus|haematoma|hematoma|wrist|ankle|wound) blocks?\b/i;

/** A drip that has tissued is said to have infiltrated, too. */
const OF_A_LINE = /\b(cannula|drip|line|vein|extravasat\w*|swelling)\b/i;

/** Words that only look, ask or count. */
const CHECKING = new Set(
  words(
    `ask asks asked check checks checked count counts counted read reads label labels labelled confirm confirms record records
    recorded note notes write writes history takes taking prescribed remind interaction interactions expiry overdose toxicity
    ampoule ampoules vial vials box trolley cupboard discard dispose waste drowsy sedated`,
  ),
);

const FORBIDDING = new Set(
  words(
    `avoid avoids never no not none nor without stop stops withhold hold allergy allergic allergies contraindicated`,
  ),
);

/** These limit an amount; they forbid nothing. */
const LIMITING = /\b(?:not|no) (?:more|less|over|under|longer|later)\b|\bnot exceeding\b/gi;

const AMOUNT =
  /(?<![\d.,])(\d+(?:[.,]\d+)?)(?:\s*(?:-|–|to)\s*\d+(?:[.,]\d+)?)?\s*(mg|mcg|µg|μg|ug|micrograms?|milligrams?|ml|mls|millilitres?|milliliters?)\b(?!\s*\/\s*(?:m|d)?l\b)(\s*(?:\/|per)\s*kg\b)?/gi;

/** What holds a volume, or is no drug: a syringe of 10 mL, a flush, blood. */
const NO_DRUG =
  /\b(syringes?|saline|flush\w*|water|blood|crystalloids?|colloids?|fluids?|ringer\S*|hartmann\S*|dextrose|glucose|contrast|urine|bags?|bottles?|ointment|gel|antiseptic|chlorhexidine|iodine|air)\b/i;

/** What a text says of drugs, also of those that the hospital's formulary names. */
export function saidOfDrugs(text: string, formulary: ReadonlyMap<string, DrugClass>): SaidOfDrugs {
  const said = text.toLowerCase().match(/[\p{L}\d]+(?:-[\p{L}\d]+)*/gu) ?? [];
  const named = said.flatMap((word) => {
    const of = CLASS_OF.get(word) ?? formulary.get(word);
    return of ? [{ word, of }] : [];
  });
  const unnamed = localInWords(text);
  const infiltrates = INFILTRATING.test(text) && !(OF_A_LINE.test(text) && named.length === 0);
  const drugs = named.length === 0 && unnamed ? [unnamed] : named;
  return {
    drugs,
    ...amountIn(text, drugs.length > 0 || infiltrates),
    gives: said.some((word) => GIVING.has(word)),
    infiltrates,
    wants: /\b(needs?|needed|wants?|wanted|wish\w*|more|further|deeper|require[sd]?)\b/i.test(text),
    checks: said.some((word) => CHECKING.has(word)) || /\bat hand\b|\bin date\b|\bin the room\b/i.test(text),
    isForHome: FOR_HOME.test(text) && !/\b(?:now|before (?:the )?(?:block|injection|surgery))\b/i.test(text),
    forbids: forbids(text),
  };
}

/** What the patient takes along, or takes later. */
const FOR_HOME =
  /\btake-? ?homes?\b|\b(?:to|for) (?:take )?home\b|\bat home\b|\bdischarge (?:advice|letter|prescriptions?|drugs?|medicines?|medications?|pack|packs|analges\w+|leaflet|information)\b|\bprescri(?:be|bes|ption|ptions)\b|\bttos?\b|\bafter discharge\b/i;

function forbids(text: string): boolean {
  const said =
    text
      .toLowerCase()
      .replace(LIMITING, "")
      .match(/\p{L}+/gu) ?? [];
  return said.some((word) => FORBIDDING.has(word)) || /\bdon['’]t\b/i.test(text);
}

/** "local anaesthetic", "more local", "local into the wound"; not "local policy", nor what toxicity is called. */
function localInWords(text: string): { readonly word: string; readonly of: DrugClass } | undefined {
  const found =
    /\blocal anaesthetics?\b(?! (?:systemic )?toxicity)|\blocal anesthetics?\b(?! (?:systemic )?toxicity)|\b(?:more|extra|additional|some|with|of) local\b(?! \w*(?:polic|guid|rule))|\blocal (?:in|into|to|around|under) the\b/i.exec(
      text,
    );
  return found ? { word: found[0].toLowerCase(), of: "local-anaesthetic" } : undefined;
}

function amountIn(text: string, namesDrug: boolean): Pick<SaidOfDrugs, "amount" | "isMass"> {
  const amounts = [...text.matchAll(AMOUNT)].map(([whole = "", , unit = "", per]) => ({
    whole: whole.trim(),
    isMass: !/^m(l|ls|illi(lit).*)$/i.test(unit),
    isPerWeight: per !== undefined,
  }));
  const mass = amounts.find(({ isMass }) => isMass);
  if (mass) return { amount: mass.whole, isMass: true };
  const [volume] = NO_DRUG.test(text) && !namesDrug ? [] : amounts;
  if (volume && !isSizeOfSyringe(text)) return { amount: volume.whole, isMass: volume.isPerWeight };
  return { isMass: false };
}

function isSizeOfSyringe(text: string): boolean {
  const without = text.replace(/\d+\s*ml (?:syringes?|ampoules?|vials?|bags?)/gi, "");
  return [...without.matchAll(AMOUNT)].length === 0;
}

function words(text: string): string[] {
  return text.trim().split(/\s+/);
}
