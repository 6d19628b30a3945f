/**
 * One line of the benchmarks.
 * @typedef {object} Row
 * @property {string} what  what was measured
 * @property {"ms" | "MB" | "times" | "thousand/s"} unit  what the numbers count
 * @property {number} median
 * @property {number} [min]
 * @property {number} [max]
 * @property {number} [runs]
 * @property {number} [ratio]  median divided by the median of `against`, measured in the same run
 * @property {string} [against]
 * @property {number} [atMost]  the ratio we aim to stay under
 */

/** The smallest, middle and largest of several measurements. */
export function summary(measurements) {
  const sorted = [...measurements].sort((a, b) => a - b);
  return {
    median: rounded(sorted[Math.floor(sorted.length / 2)]),
    min: rounded(sorted[0]),
    max: rounded(sorted.at(-1)),
    runs: sorted.length,
  };
}

/** `row` compared with `base`, which was measured in the same run. */
export function comparedWith(base, row, atMost) {
  const compared = { ...row, ratio: rounded(row.median / base.median, 2), against: base.what };
  return atMost === undefined ? compared : { ...compared, atMost };
}

/** The row as a reader sees it. */
export function line(figure, row) {
  const spread = row.runs === undefined ? "" : `  (${row.min} to ${row.max}, ${row.runs} runs)`;
  const ratio = row.ratio === undefined ? "" : `  ${row.ratio} × ${row.against}`;
  const aim =
    row.atMost === undefined ? "" : `  aim: at most ${row.atMost}${row.ratio > row.atMost ? ", MISSED" : ""}`;
  return `${figure.padEnd(12)} ${row.what.padEnd(44)} ${row.median} ${row.unit}${spread}${ratio}${aim}`;
}

export function rounded(number, places = 1) {
  return Number(number.toFixed(places));
}
