/** Files of a small workspace, for tests about places in them. */
export const FORMULARY = `agent lidocaine {
  kind local-anaesthetic
  concentration 0.5 %
  maximum 4 mg/kg
  source "label"
}
`;

export const ROUTINES = `routine staged-release {
  repeat 2 times {
    deflate all for 10 s
  }
  do last-deflation
}

routine last-deflation {
  deflate all
}
`;

export const PROTOCOL = `use "formulary.limb"
use "routines.limb"

protocol wrist "Wrist" {
  cuffs upper "grey", lower "white" on upper-arm {
    pressure 250 mmHg
  }

  dose local of lignocaine {
    amount 3 mg/kg up to 200 mg
  }

  timer hold from end of local {
    at least 30 min
  }

  steps {
    inflate upper
    confirm upper
    inject local
    wait for hold
    do staged-release
  }
}
`;

export const SITE = {
  "formulary.limb": FORMULARY,
  "routines.limb": ROUTINES,
  "wrist.limb": PROTOCOL,
} as const;
