import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { replaced } from "./protocols.ts";
import { folderWith, runLimb } from "./run-limb.ts";

const README = join(import.meta.dirname, "../../README.md");

/** A console block, or a comment that edits a file between two of them. */
const PART = /^```console\n([\s\S]*?)^```$|^<!-- replace "(.+)" by "(.+)" in (\S+) -->$/gm;

test("the README shows what its commands print", async () => {
  await expect(await withRealOutput(readFileSync(README, "utf8"))).toMatchFileSnapshot(README);
});

/** The README with every console block run again, in order, in one new folder. */
async function withRealOutput(readme: string): Promise<string> {
  const folder = folderWith({});
  const parts: string[] = [];
  let end = 0;
  for (const match of readme.matchAll(PART)) {
    const [whole, block, from, to, file] = match;
    parts.push(readme.slice(end, match.index));
    end = match.index + whole.length;
    parts.push(block === undefined ? whole : `\`\`\`console\n${await consoleBlock(folder, block)}\`\`\``);
    if (from === undefined || to === undefined || file === undefined) continue;
    writeFileSync(join(folder, file), replaced(readFileSync(join(folder, file), "utf8"), from, to));
  }
  return parts.join("") + readme.slice(end);
}

async function consoleBlock(folder: string, block: string): Promise<string> {
  const commands = block.split("\n").filter((line) => line.startsWith("$ npx limb "));
  const shown: string[] = [];
  for (const command of commands) {
    const [given = "", pipe] = command.slice("$ npx limb ".length).split(" | ");
    const { out, err } = await runLimb(folder, given.split(" "));
    shown.push(`${command}\n${firstLines(out + err, pipe)}`);
  }
  return shown.join("\n");
}

/** All of an output, or as many of its first lines as `head -N` gives. */
function firstLines(output: string, pipe: string | undefined): string {
  const most = pipe && /^head -(\d+)$/.exec(pipe)?.[1];
  const lines = output.trimEnd().split(/\r?\n/);
  return `${lines.slice(0, most ? Number(most) : undefined).join("\n")}\n`;
}
