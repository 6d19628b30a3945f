/** The columns of a case record that are read; all others are left out. */
export const COLUMNS = [
  "case",
  "time",
  "event",
  "value",
  "cuff",
  "weight",
  "age",
  "systolic",
  "circumference",
  "protocol",
  "format",
] as const;
export type Column = (typeof COLUMNS)[number];

/** The format that this program reads; a row that says another is not read. */
export const RECORD_FORMAT = "1";

/** How columns that say who a patient is are called, without spaces, marks and capitals. */
const IDENTIFYING =
  /^(?:patient|pt|subject|person)?(?:s)?(?:full|first|last|middle|given|family|sur|fore|maiden|birth|second)?(?:name|names|initials|surname|forename|alias|title)$|birth|^dob$|^born|^mrn$|medicalrecord|hospital(?:no|num|id)|^nhs|^chi(?:no|number)?$|socialsecurity|^ssn$|^nino$|nationalid|nationalinsurance|passport|insurance(?:no|num|id)|^(?:patient|pt)?(?:id|identifier|no|number)$|address|street|^city$|^town$|postcode|postalcode|^zip|telephone|^phone|^mobile|^fax|email|^mail$|nextofkin|contact|^photo|licen[cs]eplate|deviceserial|biometric/;

export function isIdentifying(column: string): boolean {
  return IDENTIFYING.test(plainColumn(column));
}

export function plainColumn(column: string): string {
  return column.toLowerCase().replace(/[^a-z0-9]/g, "");
}

/** Which field of a row holds which column. */
export interface Header {
  readonly at: Readonly<Partial<Record<Column, number>>>;
  readonly width: number;
  /** Whether measures of the patient have columns of their own. */
  readonly hasMeasures: boolean;
  /** Columns that say who somebody is; they are never kept, and named once. */
  readonly identifying: readonly string[];
  /** How many others are not read. */
  readonly others: readonly string[];
}

/** Undefined where a line is no header: it needs the columns time and event. */
export function headerOf(fields: readonly string[]): Header | undefined {
  const at: Partial<Record<Column, number>> = {};
  const identifying: string[] = [];
  const others: string[] = [];
  for (const [index, field] of fields.entries()) {
    const name = plainColumn(field);
    const column = COLUMNS.find((one) => one === name);
    if (column && at[column] === undefined) at[column] = index;
    else if (isIdentifying(field)) identifying.push(field.trim());
    else others.push(field.trim());
  }
  if (at.time === undefined || at.event === undefined) return undefined;
  const hasMeasures = [at.weight, at.age, at.systolic, at.circumference].some(
    (column) => column !== undefined,
  );
  return { at, width: fields.length, hasMeasures, identifying, others };
}
