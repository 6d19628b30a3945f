/** Lipid as the UK scheme has it, for the emergency or the protocol that is to give it. */
export const LIPID = `  dose lipid-bolus of lipid-emulsion {
    amount 1.5 mL/kg
    over 1 min
    repeat 2 times every 5 min
  }
  dose lipid-infusion of lipid-emulsion {
    rate 15 mL/kg/h
    total up to 12 mL/kg
  }`;

export const FIRST_AID = 'task help "Help"\n  task oxygen "Oxygen"';
export const GIVE = "give lipid-bolus\n  give lipid-infusion";
export const ARRESTS = 'task seizure "Stop the seizure"\n  task arrest "Resuscitate"';
export const DECISION = 'task cuff-decision "Decide" by "anaesthetist in charge" takes 10 s to 5 min';

/** An emergency with doses of lipid and these steps. */
export function emergencyOf(steps: string, name = "toxicity", doses = LIPID): string {
  return `emergency ${name} {\n${doses}\n  ${steps}\n}\n`;
}

/** A section `throughout` with these handlers. */
export function throughoutOf(...handlers: readonly string[]): string {
  return `throughout {\n${handlers.join("\n")}\n}\n`;
}

/** A handler of toxicity signs with these steps. */
export function onSigns(steps: string, manner = ""): string {
  return `when toxicity-signs ${manner} {\n  ${steps}\n}`;
}

/** A question with steps under both answers. */
export function ask(question: string, yes: string, no: string): string {
  return `ask "${question}" {\n  yes {\n${yes}\n  }\n  no {\n${no}\n  }\n}`;
}
