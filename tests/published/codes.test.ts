import { describe, expect, test } from "vitest";
import { checkSite, filesIn } from "../examples/site.ts";
import { findingsOf, protocolWith } from "./worked-dose.ts";

/*
 * Codes of the Anatomical Therapeutic Chemical classification. N01BB group (passage read):
 * https://www.whocc.no/atc_ddd_index/?code=N01B&showdescription=yes and https://rxreasoner.com/atccodes/N01BB ;
 * N01BA04, B05BA02, V03AB17, M01AB15 (public lists and code files, reported elsewhere).
 */
const PUBLISHED: Readonly<Record<string, string>> = {
  bupivacaine: "N01BB01",
  lidocaine: "N01BB02",
  mepivacaine: "N01BB03",
  prilocaine: "N01BB04",
  articaine: "N01BB08",
  ropivacaine: "N01BB09",
  levobupivacaine: "N01BB10",
  chloroprocaine: "N01BA04",
  "lipid-emulsion": "B05BA02",
  methylthioninium: "V03AB17",
  ketorolac: "M01AB15",
};

test("the agents of the example hospital carry the published codes", () => {
  const agents = checkSite(filesIn("protocols")).flatMap(({ protocols }) =>
    protocols.flatMap(({ protocol }) => protocol.agents),
  );
  const codes = Object.fromEntries(agents.map(({ name, atc }) => [name, atc?.value]));
  const expected = Object.fromEntries(Object.keys(codes).map((name) => [name, PUBLISHED[name]]));
  expect(codes).toEqual(expected);
  expect(Object.keys(codes).length).toBeGreaterThanOrEqual(6);
});

const withCode = (agent: string, code: string) =>
  protocolWith({ agent, concentration: "0.5 %", amount: "2 mg/kg" }).replace(
    "  concentration",
    `  atc "${code}"\n  concentration`,
  );

describe("drugs that a label or a report keeps out of this block are known by their code alone", () => {
  test.each(["bupivacaine", "levobupivacaine", "ropivacaine", "chloroprocaine"])("%s", (name) => {
    expect(
      findingsOf("agent-not-for-ivra", withCode("hospital-mixture", PUBLISHED[name] ?? "")),
    ).toHaveLength(1);
  });

  test.each(["lidocaine", "prilocaine"])("%s is not among them", (name) => {
    expect(findingsOf("agent-not-for-ivra", withCode(name, PUBLISHED[name] ?? ""))).toEqual([]);
  });

  test("a name and a code of two drugs do not hide the dangerous one", () => {
    expect(findingsOf("agent-not-for-ivra", withCode("lidocaine", "N01BB01"))).toHaveLength(1);
    expect(findingsOf("agent-not-for-ivra", withCode("bupivacaine", "N01BB02"))).toHaveLength(1);
  });
});
