import { findingLines } from "@limbwright/language";
import type { Finding } from "@limbwright/shared/finding";
import type { Workspace } from "../workspace/workspace.ts";
import type { Invocation } from "./surroundings.ts";

/** Says that nothing is written for a protocol, why, and which findings stand in the way. */
export function tellRefusal(
  refused: { readonly protocol: string; readonly because: string; readonly findings: readonly Finding[] },
  workspace: Workspace,
  { messages }: Invocation,
): void {
  const options = { colour: messages.hasColour, width: messages.columns, textOf: workspace.textOf };
  const findings = refused.findings.map((finding) => findingLines(finding, options, [refused.protocol]));
  const below = findings.length > 0 ? " The findings below stand in the way." : "";
  const because = `limb: ${refused.because}${below}`;
  messages.write(`${[[because], ...findings].map((lines) => lines.join("\n")).join("\n\n")}\n`);
}
