export const TIME_FORMATS: readonly string[];
export function timeText(seconds: number | undefined, format: string, number: number): string;

interface WrittenRow {
  readonly case: string;
  readonly time: string;
  readonly event: string;
  readonly value: string;
}

export function csvRow(row: WrittenRow): string;
export function jsonRow(row: WrittenRow): string;
