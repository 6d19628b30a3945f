import { describe, expect, test } from "vitest";
import { fromPage } from "../../extension/preview/messages.ts";
import { newestOnly } from "../../extension/preview/newest-only.ts";

describe("a message from the page", () => {
  test.each([
    [{ kind: "ready" }],
    [{ kind: "open", file: "a.limb", line: 3 }],
    [{ kind: "patient", patient: { weight: "60" } }],
  ])("%j is taken", (message) => {
    expect(fromPage(message)).toEqual(message);
  });

  test.each([
    [undefined],
    ["ready"],
    [{ kind: "run" }],
    [{ kind: "open", file: 3, line: 3 }],
    [{ kind: "open", file: "a.limb", line: 0 }],
    [{ kind: "open", file: "a.limb", line: 1.5 }],
    [{ kind: "patient", patient: "heavy" }],
  ])("%j is none of ours", (message) => {
    expect(fromPage(message)).toBeUndefined();
  });

  test("has of a patient only measures, and no more of them than can be meant", () => {
    const patient = { weight: "6".repeat(100), name: "nobody", age: 40 };
    expect(fromPage({ kind: "patient", patient })).toEqual({
      kind: "patient",
      patient: { weight: "6".repeat(20) },
    });
  });
});

describe("of questions that come while one is on its way", () => {
  function asking() {
    const asked: number[] = [];
    const answers = new Map<number, (value: string) => void>();
    const ask = newestOnly((question: number) => {
      asked.push(question);
      return new Promise<string>((resolve) => answers.set(question, resolve));
    });
    const answer = async (question: number) => {
      await new Promise((resolve) => setTimeout(resolve, 0));
      answers.get(question)?.(`answer ${question}`);
    };
    return { ask, asked, answer };
  }

  test("only the newest is asked, and only its answer counts", async () => {
    const { ask, asked, answer } = asking();
    const all = [ask(1)];
    await Promise.resolve();
    all.push(ask(2), ask(3));
    await answer(1);
    await answer(3);
    expect(await Promise.all(all)).toEqual([
      { isNewest: false },
      { isNewest: false },
      { isNewest: true, value: "answer 3" },
    ]);
    expect(asked).toEqual([1, 3]);
  });

  test("a fault of an older one is nobody's", async () => {
    const ask = newestOnly((question: number) =>
      question === 1 ? Promise.reject(new Error("too slow")) : Promise.resolve("yes"),
    );
    const first = ask(1);
    await Promise.resolve();
    const second = ask(2);
    expect(await Promise.all([first, second])).toEqual([
      { isNewest: false },
      { isNewest: true, value: "yes" },
    ]);
    await expect(ask(1)).rejects.toThrow("too slow");
  });
});
