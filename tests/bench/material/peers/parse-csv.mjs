// A plain parse of a CSV file, row by row in a stream, by the parser that case records are read with.

import { createReadStream } from "node:fs";
import Papa from "papaparse";

let rows = 0;
Papa.parse(createReadStream(process.argv[2]), {
  step: () => {
    rows += 1;
  },
  complete: () => console.log(rows),
});
