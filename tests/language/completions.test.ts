import type { Finding } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";
import { completionsAt } from "../../language/editor/completions.ts";
import { statementsIn } from "../../language/editor/statement-templates.ts";
import { Site } from "../../language/lower/site.ts";

const STEPS_WITH_A_TIME = statementsIn("steps").flatMap(({ template }) => {
  const [, words, number] = /^(.*)\$\{1:(\d+) (?:s|min|h)\}$/.exec(template) ?? [];
  return words === undefined ? [] : [`${words}${number} `];
});

test("some steps say a time", () => {
  expect(STEPS_WITH_A_TIME).toContain("recovery 30 ");
});

test.each(STEPS_WITH_A_TIME)("after `%s` the units of time are offered", (step) => {
  const before = `protocol p {\n  steps {\n    ${step}`;
  const site = new Site(() => `${before}\n  }\n}\n`);
  const items = completionsAt(site, "wrist.limb", before.length, [])?.items ?? [];
  expect(items.map(({ label }) => label).sort()).toEqual(["h", "min", "s"]);
});

function finding(rule: string, subject: string, more: Partial<Finding> = {}): Finding {
  const place = { line: 1, column: 1, offset: 0 };
  return {
    rule,
    severity: "doubtful",
    origin: { file: "wrist.limb", start: place, end: place },
    what: `something of ${subject}`,
    subject,
    label: "",
    why: "",
    next: "",
    related: [],
    repairs: [],
    ...more,
  };
}

describe("behind the rule of an acceptance", () => {
  const accepted = {
    because: "",
    by: "",
    until: "2027-01-31",
    origin: finding("no-cap", "local").origin,
  };
  const offered = (words: string, findings: readonly Finding[]) => {
    const before = `local-rules here {\n  ${words}`;
    const site = new Site(() => `${before}\n}\n`);
    const found = completionsAt(site, "rules.limb", before.length, [], findings)?.items ?? [];
    return found.map(({ text }) => text);
  };

  test("what stands found by that rule is offered, each once, a title in quotes", () => {
    const found = [
      finding("dose-without-cap", "local"),
      finding("dose-without-cap", "local"),
      finding("dose-without-cap", "Top-up, if needed"),
      finding("dose-over-maximum", "ketorolac"),
    ];
    expect(offered("accept dose-without-cap of ", found)).toEqual(["local", '"Top-up, if needed"']);
    expect(offered("accept dose-without-cap of lo", found)).toContain("local");
  });

  test("nothing that is accepted already, or that nobody may accept", () => {
    const found = [
      finding("dose-without-cap", "local", { accepted }),
      finding("occlusion-too-long", "hold", { severity: "unsafe" }),
      finding("dose-without-cap", "top-up"),
    ];
    expect(offered("accept dose-without-cap of ", found)).toEqual(["top-up"]);
    expect(offered("accept occlusion-too-long of ", found)).toEqual([]);
    const over = [finding("dose-over-maximum", "local", { severity: "unsafe", limitUnit: "mg/kg" })];
    expect(offered("accept dose-over-maximum of ", over)).toEqual(["local"]);
  });

  test("the words that join its parts are offered", () => {
    expect(offered("accept dose-without-cap ", [])).toEqual(["of", "in"]);
    expect(offered("accept dose-without-cap of local ", [])).toEqual(["in"]);
    expect(offered("accept dose-without-cap of local in wrist ", [])).toEqual([]);
    expect(offered("accept dose-over-maximum of local in wrist ", [])).toEqual(["up to"]);
    expect(offered("accept dose-over-maximum of local in wrist up to 3.5 ", [])).toContain("mg/kg");
    expect(offered("accept occlusion-too-long of upper-arm in wrist up to 75 ", [])).toContain("min");
    expect(offered('accept dose-without-cap of "Top-up, if needed" ', [])).toEqual(["in"]);
  });
});
