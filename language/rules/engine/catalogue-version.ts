/**
 * The number of the catalogue, which goes into a rule file's proof. It is raised whenever a rule is added,
 * or judges otherwise than before.
 */
export const CATALOGUE_VERSION = 8;
