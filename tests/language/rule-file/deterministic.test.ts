import { join } from "node:path";
import { canonicalText, digestOfText } from "@limbwright/shared/rule-file";
import { afterEach, describe, expect, test } from "vitest";
import { baseTexts, compiledFrom, fileFrom, textFrom } from "./compiled.ts";

const text = textFrom(baseTexts());
const TZ = process.env.TZ;

afterEach(() => {
  if (TZ === undefined) delete process.env.TZ;
  else process.env.TZ = TZ;
});

test("the rule file of the base example is the one that is kept", async () => {
  await expect(text).toMatchFileSnapshot(
    join(import.meta.dirname, "../../golden/rule-file/wrist-reduction.json"),
  );
});

test("its bytes are the canonical form of what they say", () => {
  expect(canonicalText(JSON.parse(text))).toBe(text);
});

describe("the same bytes come from", () => {
  test.each([
    ["CRLF", "\r\n"],
    ["CR", "\r"],
  ])("%s line ends", (_, lineEnd) => {
    const changed = [...baseTexts()].map(([file, of]) => [file, of.replaceAll("\n", lineEnd)] as const);
    expect(textFrom(new Map(changed))).toBe(text);
  });

  test.each(["Pacific/Auckland", "America/New_York", "UTC"])("the time zone %s", (zone) => {
    process.env.TZ = zone;
    expect(textFrom(baseTexts())).toBe(text);
  });

  test.each(["2000-01-01", "2026-11-25", "2099-12-31"])("a judgement on %s", (on) => {
    expect(textFrom(baseTexts(), "protocol.limb", { on })).toBe(text);
  });

  test("files that are used in another order", () => {
    const [use = "", other = "", ...rest] = (baseTexts().get("protocol.limb") ?? "").split("\n");
    const swapped = textFrom(baseTexts({ "protocol.limb": [other, use, ...rest].join("\n") }));
    const { sources: before, ...one } = fileFrom(text);
    const { sources: after, ...another } = fileFrom(swapped);
    expect(another).toEqual(one);
    expect(after.map(({ file }) => file)).toEqual(before.map(({ file }) => file));
  });

  test("a used file that changes where the protocol does not look", () => {
    const formulary = baseTexts().get("formulary.limb") ?? "";
    const unused = '\nagent articaine {\n  kind local-anaesthetic\n  source "Hospital formulary"\n}\n';
    const { sources, ...one } = fileFrom(text);
    const { sources: after, ...another } = fileFrom(
      textFrom(baseTexts({ "formulary.limb": formulary + unused })),
    );
    expect(another).toEqual(one);
    expect(after).not.toEqual(sources);
  });
});

test("an accepted finding is in the file with its end, whatever the day", () => {
  const accept = 'accept dose-without-cap because "Box ends at 66 kg" by "Pharmacy" until 2027-01-31';
  const localRules = `${baseTexts().get("local-rules.limb")}`.replace(/\}\s*$/, `  ${accept}\n}\n`);
  const protocol = `${baseTexts().get("protocol.limb")}`
    .replace(/weight +45 to 130 kg/, "weight 45 to 66 kg")
    .replace("amount 3 mg/kg up to 200 mg", "amount 3 mg/kg");
  const texts = baseTexts({ "protocol.limb": protocol, "local-rules.limb": localRules });
  const before = textFrom(texts, "protocol.limb", { on: "2026-11-25" });
  expect(textFrom(texts, "protocol.limb", { on: "2027-02-01" })).toBe(before);
  const accepted = fileFrom(before).proof.accepted.filter(({ rule }) => rule === "dose-without-cap");
  expect(accepted).toMatchObject([{ because: "Box ends at 66 kg", by: "Pharmacy", until: "2027-01-31" }]);
  expect(accepted[0]?.findings).toHaveLength(1);
});

describe("nothing of the machine or the day is in the file", () => {
  test("no verdict of a rule that is judged on a day", () => {
    const rules = fileFrom(text).proof.verdicts.map(({ rule }) => rule);
    expect(rules).not.toContain("review-overdue");
    expect(rules).not.toContain("acceptance-expired");
    expect(rules).toContain("dose-over-maximum");
  });

  test("no path but those in the workspace", () => {
    expect(fileFrom(text).sources.map(({ file }) => file)).toEqual([
      "formulary.limb",
      "local-rules.limb",
      "protocol.limb",
    ]);
    expect(text).not.toContain(process.cwd());
  });

  test("a source's digest is that of its text, whatever its line ends", () => {
    const [formulary] = fileFrom(text).sources;
    const source = baseTexts().get("formulary.limb") ?? "";
    expect(formulary?.digest).toBe(digestOfText(source));
    expect(digestOfText(`\ufeff${source.replaceAll("\n", "\r\n")}`)).toBe(digestOfText(source));
  });
});

describe("a protocol is refused", () => {
  const unsafe = baseTexts({
    "protocol.limb": `${baseTexts().get("protocol.limb")}`.replace("3 mg/kg up to 200 mg", "9 mg/kg"),
  });

  test("while an unsafe finding stands, and says which", () => {
    const refused = compiledFrom(unsafe);
    expect(refused).toMatchObject({
      kind: "refused",
      because: "`wrist-reduction` is not written: unsafe findings stand.",
    });
    expect(refused.kind === "refused" && refused.findings.map(({ rule }) => rule)).toContain(
      "dose-over-maximum",
    );
  });

  test("unless it is to be a draft, which holds what was found", () => {
    const draft = fileFrom(textFrom(unsafe, "protocol.limb", { draft: true }));
    expect(draft.use).toBe("draft");
    expect(draft.findings).toContainEqual(
      expect.objectContaining({ rule: "dose-over-maximum", severity: "unsafe" }),
    );
    const verdict = draft.proof.verdicts.find(({ rule }) => rule === "dose-over-maximum");
    expect(verdict?.kind).toBe("broken");
  });

  test("with errors, also as a draft: part of it was not understood", () => {
    const broken = `${baseTexts().get("protocol.limb")}`.replace("inject local", "inject nothing");
    const refused = compiledFrom(baseTexts({ "protocol.limb": broken }), "protocol.limb", { draft: true });
    expect(refused).toMatchObject({
      kind: "refused",
      because: "`wrist-reduction` is not written: there are errors.",
    });
  });
});

test("half a character, which no file can hold, is compiled as the sign for one that is unknown", () => {
  const half = `${baseTexts().get("protocol.limb")}`.replace("Reduce and splint", "Reduce \ud800");
  expect(textFrom(baseTexts({ "protocol.limb": half }))).toContain("Reduce \ufffd");
});
