/** The places of a cuff for which there is a template. */
export const TEMPLATE_PLACES = ["upper-arm", "forearm", "calf", "thigh", "ankle"] as const;

export type TemplatePlace = (typeof TEMPLATE_PLACES)[number];

export interface TemplateOptions {
  /** The protocol's name: lower case with hyphens. */
  readonly name: string;
  readonly title: string;
  readonly place: TemplatePlace;
  /** The path of the formulary from the new file, with / between folders. */
  readonly formulary: string;
  /** When the protocol has to be read again, YYYY-MM-DD. */
  readonly reviewBy: string;
}

interface PlaceValues {
  readonly circumference: string;
  readonly ceiling: string;
  readonly concentration: string;
  readonly amount: string;
}

/**
 * Values to start from, which every rule passes. They are common practice, no source: the author decides
 * each, and the rules judge what is decided by values with sources.
 */
const VALUES: Readonly<Record<TemplatePlace, PlaceValues>> = {
  "upper-arm": {
    circumference: "25 to 40 cm",
    ceiling: "300 mmHg",
    concentration: "0.5 %",
    amount: "3 mg/kg up to 200 mg",
  },
  forearm: {
    circumference: "20 to 34 cm",
    ceiling: "300 mmHg",
    concentration: "0.5 %",
    amount: "2 mg/kg up to 125 mg",
  },
  calf: {
    circumference: "28 to 45 cm",
    ceiling: "300 mmHg",
    concentration: "0.25 %",
    amount: "2 mg/kg up to 125 mg",
  },
  thigh: {
    circumference: "40 to 70 cm",
    ceiling: "350 mmHg",
    concentration: "0.25 %",
    amount: "3 mg/kg up to 250 mg",
  },
  ankle: {
    circumference: "18 to 30 cm",
    ceiling: "300 mmHg",
    concentration: "0.25 %",
    amount: "2 mg/kg up to 100 mg",
  },
};

/** A whole protocol with two cuffs and lidocaine, for its author to go through line by line. */
export function protocolTemplate({ name, title, place, formulary, reviewBy }: TemplateOptions): string {
  const { circumference, ceiling, concentration, amount } = VALUES[place];
  return `use "${formulary}"

// A template. Go through every line: each number and each text is yours to decide.
// Then run: limb check
protocol ${name} "${title}" {
  version   0.1.0
  hospital  "The name of your hospital"
  owner     "The role that answers for this protocol"
  status    draft
  review by ${reviewBy}
  indication "What it is for, and for how long"

  patients {
    age           16 to 85 years
    weight        45 to 130 kg
    systolic      90 to 180 mmHg
    circumference ${circumference}
    contraindicated allergy          "Allergy to an amide local anaesthetic"
    contraindicated sickle-cell      "Sickle cell disease or trait"
    contraindicated vascular-disease "Severe peripheral vascular disease of the limb"
    contraindicated hypertension     "Systolic over 180 mmHg"
  }

  cuffs proximal "grey", distal "white" on ${place} {
    pressure greater of systolic + 100 mmHg and 250 mmHg
    ceiling  ${ceiling}
    fits     ${circumference}
  }

  dose local of lidocaine at ${concentration} {
    amount ${amount}
    over   90 s to 3 min
  }

  timer hold from end of local {
    at least 30 min
    at most  50 min
  }

  prepare {
    iv-access   other-limb
    monitoring  ecg, spo2, nibp every 5 min
    at-hand     lipid-emulsion
    staff       2
    site-marked
  }

  steps {
    apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    exsanguinate by bandage
    inflate distal
    confirm distal
    inflate proximal
    confirm proximal
    deflate distal
    remove bandage
    confirm no pulse
    inject local
    remove cannula
    wait 5 min

    stage procedure {
      task "What is done to the limb" takes 5 min or more

      when tourniquet-pain once {
        inflate distal
        confirm distal
        deflate proximal
      }
      when hold reaches 45 min {
        end stage
      }
    }

    wait for hold
    do staged-release
    recovery 30 min
  }

  routine staged-release {
    repeat 2 times {
      deflate all for 10 s
      watch 1 min
    }
    deflate all
  }

  throughout {
    when toxicity-signs {
      go to emergency toxicity
    }
    when cuff-leak {
      inflate all
      confirm all
    }
  }

  emergency toxicity "Local anaesthetic systemic toxicity" {
    dose lipid-bolus of lipid-emulsion {
      amount 1.5 mL/kg
      over   1 min
      repeat 2 times every 5 min if "still unstable"
    }
    dose lipid-infusion of lipid-emulsion {
      rate  15 mL/kg/h
      total up to 12 mL/kg
    }
    task help   "Stop. Call for help. A cuff that is up stays up."
    task oxygen "Oxygen, airway"
    give lipid-bolus
    give lipid-infusion
    task cuff-decision "Cuff release is decided by the anaesthetist in charge"
  }
}
`;
}

/** The drugs that the template uses, for a folder that has no formulary yet. */
export const FORMULARY_TEMPLATE = `// The drugs of your hospital for blocks behind a tourniquet, shared by every protocol.
// Compare every line with the label of the product you buy.

agent lidocaine {
  kind          local-anaesthetic
  atc           "N01BB02"
  concentration 0.5 %, 0.25 %
  supplied as   1 % in 20 mL
  diluted with  "saline 0.9 %"
  plain
  preservative-free
  maximum       4 mg/kg
  maximum       3 mg/kg for age under 16 years
  maximum       300 mg
  source        "US product label, lidocaine hydrochloride injection, IVRA"
}

agent lipid-emulsion {
  kind          rescue
  atc           "B05BA02"
  concentration 20 %
  maximum       12 mL/kg
  source        "Published emergency guideline for local anaesthetic toxicity"
}
`;
