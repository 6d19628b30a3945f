/** How the name of a rule file ends, as `limb compile` writes it. */
export const RULE_FILE_SUFFIX = ".json";

/** A rule file holds a protocol with its tables and proofs; longer than this it is something else. */
export const MOST_RULE_FILE_BYTES = 50_000_000;
