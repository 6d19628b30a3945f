import { catalogue } from "@limbwright/language";
import { watchersOf } from "../../../language/rules/engine/runs-for.ts";
import { protocolOf, runsOf, type SmallProtocol } from "./small-protocol.ts";

/** What the rules find in the runs of a small protocol, and what no run comes to. */
export function ruled(parts: SmallProtocol) {
  const protocol = protocolOf(parts);
  const runs = runsOf(protocol, watchersOf(protocol, catalogue));
  return {
    runs,
    /** The rules that some run breaks, by name. */
    broken: catalogue
      .map(({ id }) => id)
      .filter((id) => runs.brokenBy(id).length > 0)
      .sort(),
    /** The rules that end the following of a run, by name. */
    ending: [...runs.endedBy].sort(),
    unreached: runs.unreached.map(({ says }) => says).sort(),
  };
}
