import { instance } from "@viz-js/viz";
import { describe, expect, test } from "vitest";
import { cleanProtocol, FORMULARY, replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const site = (protocol = cleanProtocol()) =>
  folderWith({ "formulary.limb": FORMULARY, "wrist.limb": protocol });

describe("limb automaton", () => {
  test.each([
    ["template", []],
    ["template-leaks", ["--leaks"]],
  ])("draws the automaton of a protocol: %s", async (name, options) => {
    const { code, out, err } = await runLimb(site(), ["automaton", "wrist.limb", ...options]);
    await expect(out).toMatchFileSnapshot(`../golden/automaton/${name}.dot`);
    expect({ code, err }).toEqual({ code: 0, err: "" });
  });

  test.each([
    ["as planned", []],
    ["with leaks", ["--leaks"]],
  ])("writes DOT that Graphviz lays out without a complaint, %s", async (_, options) => {
    const { out } = await runLimb(site(), ["automaton", "wrist.limb", ...options]);
    const { status, output, errors } = (await instance()).render(out, { format: "svg" });
    expect({ status, errors }).toEqual({ status: "success", errors: [] });
    expect(output).toContain("stage procedure");
  });

  test("prints the same automaton as JSON, with what the rules watch for", async () => {
    const { code, out } = await runLimb(site(), ["automaton", "wrist.limb", "--json"]);
    const { protocol, caution, automaton } = JSON.parse(out);
    expect({ code, protocol }).toEqual({ code: 0, protocol: "wrist" });
    expect(caution).toContain("not a medical device");
    expect(automaton.locations[automaton.initial].name).toBe("before apply cuffs");
    expect(automaton.checks.length).toBeGreaterThan(0);
  });

  test("is refused while the text has errors, which are shown", async () => {
    const folder = site(replaced(cleanProtocol(), "deflate distal", "deflate dystal"));
    const { code, out, err } = await runLimb(folder, ["automaton", "wrist.limb"]);
    expect(err).toContain(
      "limb: `wrist` has no automaton: there are errors. The findings below stand in the way.",
    );
    expect(err).toContain("error  name-unknown");
    expect({ code, out }).toEqual({ code: 1, out: "" });
  });

  test("asks which protocol is meant where a file has several, and says when it has none", async () => {
    const folder = folderWith({
      "formulary.limb": FORMULARY,
      "two.limb": `${cleanProtocol("one")}\n${cleanProtocol("two").replace(/^use .*$/m, "")}`,
    });
    const several = await runLimb(folder, ["automaton", "two.limb"]);
    expect(several.err).toContain(
      "two.limb declares several protocols: one, two. Choose one with --protocol NAME.",
    );
    expect(several.code).toBe(2);
    const { out } = await runLimb(folder, ["automaton", "two.limb", "--protocol", "two"]);
    expect(out).toContain('digraph "two" {');
    const none = await runLimb(folder, ["automaton", "formulary.limb"]);
    expect(none.err).toContain("formulary.limb declares no protocol, so it has no automaton.");
    expect(none.code).toBe(2);
    const folderOnly = await runLimb(folder, ["automaton", "."]);
    expect(folderOnly.err).toContain("is a folder with several files; an automaton is about one protocol.");
  });
});
