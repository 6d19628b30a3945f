import { catalogue, changeList, changePage, ruleList } from "@limbwright/language";
import { expect, test } from "vitest";

test("codes are stable: one that is here may be added to, never renamed or taken away", async () => {
  const codes = changeList.map(({ code, part }) => `${part}: ${code}`);
  await expect(`${codes.join("\n")}\n`).toMatchFileSnapshot("../../golden/compare/codes.txt");
});

test("no code is another's, nor that of a rule, for both are asked for by name", () => {
  const names = [...changeList.map(({ code }) => code), ...ruleList.map(({ id }) => id)];
  expect(names.filter((name, at) => names.indexOf(name) !== at)).toEqual([]);
  expect(changeList.filter(({ code }) => !/^[a-z]+(-[a-z]+)*$/.test(code))).toEqual([]);
});

test("the rules that look at the same are rules of the catalogue", () => {
  const known = new Set(catalogue.map(({ id }) => id));
  expect(changeList.flatMap(({ near }) => near).filter((rule) => !known.has(rule))).toEqual([]);
});

test("each code is told of one kind at least, and its page says of each what makes it so", () => {
  for (const change of changeList) {
    expect(change.kinds.length).toBeGreaterThan(0);
    const page = changePage(change);
    expect(page.startsWith(`# ${change.code}\n`)).toBe(true);
    for (const { kind, when } of change.kinds) {
      expect(page).toContain(`- *${kind.replaceAll("-", " ")}*`);
      expect(page).toContain(when);
    }
  }
});
