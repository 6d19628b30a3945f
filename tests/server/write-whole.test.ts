import * as node from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { Trouble } from "../../server/workspace/trouble.ts";
import { type WritableSystem, writeWhole } from "../../server/workspace/write-whole.ts";
import { folderWith } from "./run-limb.ts";

/** The real file system, but for one call that fails with a code of the system. */
function failing(call: keyof WritableSystem, code: string, after?: () => void): WritableSystem {
  const fail = () => {
    after?.();
    throw Object.assign(new Error(code), { code });
  };
  return { ...node, [call]: fail };
}

function troubleOf(work: () => void): Trouble {
  try {
    work();
  } catch (error) {
    if (error instanceof Trouble) return error;
    throw error;
  }
  throw new Error("no trouble came up");
}

describe("a file that cannot be written whole is not written at all", () => {
  test.each<[keyof WritableSystem, string, string]>([
    ["writeSync", "ENOSPC", "the disk is full"],
    ["writeSync", "EDQUOT", "your share of the disk is full"],
    ["fsyncSync", "EIO", "the disk reports an error"],
    ["openSync", "EROFS", "the disk is read-only"],
    ["openSync", "EACCES", "you may not write in that folder"],
    ["renameSync", "EPERM", "you may not write in that folder"],
    ["renameSync", "EXYZ", "EXYZ"],
  ])("when %s fails with %s", (call, code, words) => {
    const folder = folderWith({ "wrist.json": "before" });
    const write = () => writeWhole(join(folder, "wrist.json"), "wrist.json", "after", failing(call, code));
    expect(troubleOf(write).what).toBe(`wrist.json could not be written: ${words}.`);
    expect(node.readdirSync(folder)).toEqual(["wrist.json"]);
    expect(node.readFileSync(join(folder, "wrist.json"), "utf8")).toBe("before");
  });

  test("when the disk is full half-way", () => {
    const folder = folderWith({});
    let calls = 0;
    const system: WritableSystem = {
      ...node,
      writeSync: ((file: number, bytes: Uint8Array, offset: number) => {
        calls += 1;
        if (calls > 2) throw Object.assign(new Error("full"), { code: "ENOSPC" });
        return node.writeSync(file, bytes, offset, 3);
      }) as typeof node.writeSync,
    };
    const write = () => writeWhole(join(folder, "new.json"), "new.json", "much too long", system);
    expect(troubleOf(write).next).toBe("Free some space, or write to another disk.");
    expect(calls).toBe(3);
    expect(node.readdirSync(folder)).toEqual([]);
  });
});

test("a file is written in as many pieces as the system takes, and synced before it gets its name", () => {
  const folder = folderWith({});
  const order: string[] = [];
  const system: WritableSystem = {
    ...node,
    writeSync: ((file: number, bytes: Uint8Array, offset: number) =>
      node.writeSync(file, bytes, offset, Math.min(4, bytes.length - offset))) as typeof node.writeSync,
    fsyncSync: (file) => {
      order.push("sync");
      node.fsyncSync(file);
    },
    renameSync: (from, to) => {
      order.push("rename");
      node.renameSync(from, to);
    },
  };
  writeWhole(join(folder, "new.json"), "new.json", "é and much more", system);
  expect(node.readFileSync(join(folder, "new.json"), "utf8")).toBe("é and much more");
  expect(order).toEqual(["sync", "rename", "sync"]);
});

test("a file keeps its permissions", () => {
  const folder = folderWith({ "wrist.json": "before" });
  node.chmodSync(join(folder, "wrist.json"), 0o640);
  writeWhole(join(folder, "wrist.json"), "wrist.json", "after");
  expect(node.statSync(join(folder, "wrist.json")).mode & 0o777).toBe(0o640);
});
