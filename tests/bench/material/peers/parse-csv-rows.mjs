// A plain parse of a CSV file, row by row in a stream, by another parser.

import { createReadStream } from "node:fs";
import { parse } from "csv-parse";

let rows = 0;
createReadStream(process.argv[2])
  .pipe(parse())
  .on("data", () => {
    rows += 1;
  })
  .on("end", () => console.log(rows));
