import { expect, test } from "vitest";
import { inlineProver } from "../../../server/language-server/prover/inline-prover.ts";
import type { ProverAnswer } from "../../../server/language-server/prover/prover-messages.ts";
import { cleanProtocol, FORMULARY } from "../protocols.ts";

const CASES = `use "wrist.limb"

scenario "A dose" for wrist {
  patient weight 60 kg
  expect dose local is 180 mg
}
`;

test("where there is no other thread, files are judged and scenarios run all the same, each with an answer", async () => {
  const prover = inlineProver();
  const answers: ProverAnswer[] = [];
  const all = new Promise<void>((resolve) => {
    prover.onAnswer((answer) => {
      answers.push(answer);
      if (answers.length === 2) resolve();
    });
  });
  const texts = { "formulary.limb": FORMULARY, "wrist.limb": cleanProtocol(), "cases.limb": CASES };
  for (const [file, text] of Object.entries(texts)) prover.post({ kind: "text", folder: "here", file, text });
  const asked = { folder: "here", file: "cases.limb", on: "2026-11-25" };
  prover.post({ kind: "judge", ...asked, task: 1, isOpen: true });
  prover.post({ kind: "run-scenario", ...asked, scenario: "A dose", task: 2 });
  await all;
  expect(answers).toMatchObject([
    { task: 1, judged: { file: "cases.limb" } },
    { task: 2, ran: { title: "A dose", outcome: "passed" } },
  ]);
});
