// What the benchmark of the zone engine runs, in one module.

export { explore } from "../../../language/runs/zones/explore.ts";
export { carrierSense } from "../../language/runs/zones/models/csma-cd.ts";
export { fischer } from "../../language/runs/zones/models/fischer.ts";
export { stepwise } from "../../language/runs/zones/models/stepwise.ts";
