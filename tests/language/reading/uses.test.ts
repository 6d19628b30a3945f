import { Site } from "@limbwright/language";
import { expect, test } from "vitest";
import { disagreementsIn } from "./marked-reading.ts";

const AGENT = "agent lidocaine {\n  kind local-anaesthetic\n  concentration 0.5 %\n}\n";

const PROTOCOL = `protocol wrist "Wrist" {
  version 1.0.0
  status draft
  patients {
    age      16 to 85 years
    systolic 90 to 180 mmHg
    weight   45 to 130 kg
  }
  cuffs proximal on upper-arm {
    pressure 250 mmHg
    ceiling  300 mmHg
  }
  dose local of lidocaine {
    amount 3 mg/kg
    over   90 s
  }
  steps {
    inject local
  }
}
`;

test("what a used file declares is known, also through another file and from another folder", () => {
  expect(
    disagreementsIn({
      "arm/wrist.limb": `use "../shared/all.limb"\n${PROTOCOL}`,
      "shared/all.limb": 'use "drugs/formulary.limb"\n',
      "shared/drugs/formulary.limb": AGENT,
    }),
  ).toEqual([]);
});

test("a file that is not there is named by its path in the workspace", () => {
  expect(
    disagreementsIn({
      "arm/wrist.limb": `use "../formulary.limb"
//  ^^^^^^^^^^^^^^^^^^^ use-not-found: no file \`formulary.limb\`
`,
    }),
  ).toEqual([]);
});

test.each(["/formulary.limb", "C:/formulary.limb", "..\\\\formulary.limb", ""])(
  "a path that is not relative is refused: %s",
  (path) => {
    const use = `use "${path}"`;
    const mark = `//  ${"^".repeat(path.length + 2)} use-not-found: not the path of a file beside this one`;
    expect(disagreementsIn({ "a.limb": `${use}\n${mark}\n` })).toEqual([]);
  },
);

test("a path that climbs out of the workspace is refused, and nothing outside is read", () => {
  const asked: string[] = [];
  const text = 'use "../../x.limb"\nuse "inner/../../../y.limb"\n';
  const site = new Site((file) => {
    asked.push(file);
    return file === "arm/wrist.limb" ? text : undefined;
  });
  const problems = site.file("arm/wrist.limb")?.problems ?? [];
  expect(problems.map(({ rule }) => rule)).toEqual(["use-leaves-workspace", "use-leaves-workspace"]);
  expect(asked).toEqual(["arm/wrist.limb"]);
});

test("a path may go up and down again inside the workspace", () => {
  expect(
    disagreementsIn({ "a/b/c.limb": 'use "../../a/../formulary.limb"\n', "formulary.limb": AGENT }),
  ).toEqual([]);
});

test("files that use each other are reported in each of them", () => {
  const files = {
    "a.limb": 'use "b.limb"\n//  ^^^^^^^^ use-in-a-circle: `b.limb` uses this file in turn\n',
    "b.limb": 'use "c.limb"\n',
    "c.limb": 'use "a.limb"\n',
  };
  expect(disagreementsIn(files)).toEqual([]);
  const site = new Site((file) => files[file as keyof typeof files]);
  expect(["b.limb", "c.limb"].map((file) => site.file(file)?.problems.map(({ rule }) => rule))).toEqual([
    ["use-in-a-circle"],
    ["use-in-a-circle"],
  ]);
});

test("a file that uses itself is a circle", () => {
  expect(
    disagreementsIn({ "a.limb": 'use "a.limb"\n//  ^^^^^^^^ use-in-a-circle: The file uses itself.\n' }),
  ).toEqual([]);
});

test("a file beside a circle, and one that is used twice, are fine", () => {
  expect(
    disagreementsIn({
      "a.limb": `use "b.limb"\nuse "c.limb"\n${PROTOCOL}`,
      "b.limb": 'use "formulary.limb"\n',
      "c.limb": 'use "formulary.limb"\n',
      "formulary.limb": AGENT,
    }),
  ).toEqual([]);
});

test("problems of a used file are its own, not those of the file that uses it", () => {
  const files = { "a.limb": 'use "b.limb"\n', "b.limb": "agent lidocaine {\n  concentration 0.50 %\n}\n" };
  expect(disagreementsIn(files)).toEqual([]);
  expect(new Site((file) => files[file as keyof typeof files]).file("b.limb")?.problems).toHaveLength(1);
});

test("what is wrong in an agent or in local rules is reported, also where a protocol that uses it was read first", () => {
  const files: Record<string, string> = {
    "wrist.limb": `use "shared.limb"\n${PROTOCOL.replace("status draft", "status draft\n  local-rules ours")}`,
    "shared.limb": `${AGENT.replace("}", "  maximum 4 kg\n}")}
local-rules ours {
  accept dose-without-cap because "Box ends at 66 kg" by "Pharmacy"
}
`,
  };
  const inOrder = (order: readonly string[]) => {
    const site = new Site((file) => files[file]);
    for (const file of order) site.file(file);
    return site.file("shared.limb")?.problems.map(({ rule, origin }) => `${rule} ${origin.start.line}`);
  };
  const problems = ["unit-mismatch 4", "statement-missing 8"];
  expect(inOrder(["shared.limb", "wrist.limb"])).toEqual(problems);
  expect(inOrder(["wrist.limb", "shared.limb"])).toEqual(problems);
});
