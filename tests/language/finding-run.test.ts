import { findingLines } from "@limbwright/language";
import type { Finding, Place, RunEvidence } from "@limbwright/shared/finding";
import { describe, expect, test } from "vitest";
import { runEvidence } from "../../language/rules/engine/over-runs.ts";
import type { Instant, WatchedCheck } from "../../language/runs/index.ts";
import { protocolOf, runsOf, type SmallProtocol } from "./runs/small-protocol.ts";

/** The run that does what is watched for with the fewest decisions. */
function shownRun(
  parts: SmallProtocol,
  checksAt: (instant: Instant) => readonly WatchedCheck[],
): RunEvidence {
  const [broken] = runsOf(protocolOf(parts), [{ rule: "watched", checksAt }]).brokenBy("watched");
  if (!broken) throw new Error("no run does what is watched for");
  return runEvidence(broken.run);
}

/** Watches for the start of a step of this kind. */
const startOf = (kind: string) => (instant: Instant) =>
  instant.kind === "start" && instant.step.kind === kind ? [{}] : [];

interface Shown {
  readonly width?: number;
  readonly verbose?: boolean;
  readonly colour?: boolean;
  readonly file?: string;
}

/** The lines of a finding that are about its run. */
function runLines(
  run: RunEvidence,
  { width = 80, colour = false, file = "small.limb", verbose }: Shown = {},
) {
  const place: Place = { line: 1, column: 1, offset: 0 };
  const finding: Finding = {
    rule: "some-rule",
    severity: "unsafe",
    origin: { file, start: place, end: place },
    what: "What.",
    label: "here",
    why: "",
    next: "Next.",
    related: [],
    run,
    repairs: [],
  };
  const options = { colour, width, textOf: () => undefined, ...(verbose !== undefined && { verbose }) };
  const lines = findingLines(finding, options, []);
  return lines.slice(2, -1);
}

const WHOLE: SmallProtocol = {
  steps: `    apply cuffs
    insert cannula
    exsanguinate by elevation 1 min
    exsanguinate by bandage
    inflate distal
    confirm distal
    inflate proximal
    confirm proximal
    deflate distal
    remove bandage
    confirm no pulse
    inject local
    remove cannula "Press on the puncture"
    wait 5 min
    stage procedure {
      task "Reduce and splint" takes 5 min or more
      when tourniquet-pain once {
        deflate proximal
        inflate distal
        confirm distal
      }
    }
    deflate all`,
};

const SWAP = shownRun(WHOLE, (instant) =>
  instant.kind === "start" && instant.phase === "handler" && instant.step.kind === "deflate" ? [{}] : [],
);

describe("a run that is shown", () => {
  test("sums up what comes before the injection, and tells what happens after it with its time and line", () => {
    expect(runLines(SWAP)).toEqual([
      "  One run that leads here:",
      "    0:00 to 1:00  11 steps, apply cuffs to confirm no pulse        lines 3 to 13",
      "                     proximal confirmed, cannula in",
      "            1:00  inject local       drug in the limb                    line 14",
      "            2:00  inject local ends                                      line 14",
      "            2:00  remove cannula     cannula out                         line 15",
      "            2:00  wait 5 min                                             line 16",
      "            7:00  stage procedure                                        line 17",
      '            7:00  task "Reduce and splint"                               line 18',
      "            7:00  tourniquet-pain                                        line 19",
      "            7:00  deflate proximal   proximal flat, drug released, no    line 20",
      "                                     cuff up",
    ]);
  });

  test("is summed up to the end of the last step that comes before the injection", () => {
    const steps = "insert cannula\ninflate all\nconfirm all\nwait 3 min\ninject local\ndeflate all";
    expect(runLines(shownRun({ steps }, startOf("deflate")))[1]).toBe(
      "    0:00 to 3:00  4 steps, insert cannula to wait 3 min             lines 3 to 6",
    );
  });

  test("is told step by step, without what starts and ends and changes nothing, when it ends at the injection", () => {
    expect(runLines(shownRun(WHOLE, startOf("inject")))).toEqual([
      "  One run that leads here:",
      "    0:00  apply cuffs                                                     line 3",
      "    0:00  insert cannula            cannula in                            line 4",
      "    0:00  exsanguinate by elevation                                       line 5",
      "    1:00  exsanguinate by bandage   bandage on                            line 6",
      "    1:00  inflate distal            distal up                             line 7",
      "    1:00  confirm distal            distal confirmed                      line 8",
      "    1:00  inflate proximal          proximal up                           line 9",
      "    1:00  confirm proximal          proximal confirmed                   line 10",
      "    1:00  deflate distal            distal flat                          line 11",
      "    1:00  remove bandage            bandage off                          line 12",
      "    1:00  confirm no pulse                                               line 13",
      "    1:00  inject local              drug in the limb                     line 14",
    ]);
  });

  test("is told line by line when that is asked for, and says how to ask where it is not", () => {
    const lines = runLines(SWAP, { verbose: true });
    expect(lines).toHaveLength(SWAP.lines.length + 2);
    expect(lines[0]).toBe("  One run that leads here:");
    expect(lines).toContain(
      "    1:00  inflate distal ends       distal up                             line 7",
    );
    expect(runLines(SWAP, { verbose: false })[0]).toBe(
      "  One run that leads here (line by line with --verbose):",
    );
  });

  test("ends with the moment it is about, also where only time passes", () => {
    const late = shownRun(WHOLE, ({ kind }) =>
      kind === "any" ? [{ clocks: [{ clock: "hold", is: "over", seconds: 3600 }] }] : [],
    );
    expect(runLines(late).slice(-2)).toEqual([
      '            7:00  task "Reduce and splint"                               line 18',
      '         1:02:01  task "Reduce and splint" goes on                       line 18',
    ]);
  });

  test("tells the end of a task, an answer and what a timer reaches, and no end of a step that says nothing", () => {
    const run = shownRun(
      {
        steps: `    insert cannula
    inflate all
    confirm all
    inject local
    ask "Numb?" {
      yes {
        task "Suture" takes 2 min
      }
      no {
        wait 1 min
      }
    }
    stage rest {
      wait 40 min
      when hold reaches 30 min {
        end stage
      }
    }
    finish`,
        more: `  timer hold from end of local {
    at least 30 min
  }`,
      },
      ({ kind }) => (kind === "finish" ? [{}] : []),
    );
    expect(runLines(run)).toEqual([
      "  One run that leads here:",
      "     0:00  3 steps, insert cannula to confirm all                   lines 3 to 5",
      "              proximal confirmed, distal confirmed, cannula in",
      "     0:00  inject local   drug in the limb                                line 6",
      "     1:00  inject local ends                                              line 6",
      "     1:00  Numb?: yes                                                     line 7",
      '     1:00  task "Suture"                                                  line 9',
      '     3:00  task "Suture" ends                                             line 9',
      "     3:00  stage rest                                                    line 15",
      "     3:00  wait 40 min                                                   line 16",
      "    31:00  hold reaches 30 min                                           line 17",
      "    31:00  end stage                                                     line 18",
      "    31:00  finish                                                        line 21",
    ]);
  });

  test("is summed up more, but for its key lines, when it would be over 14 lines", () => {
    const steps = `    insert cannula
    inflate all
    confirm all
    inject local
${"    wait 1 min\n    watch 1 min\n".repeat(10)}    task "Suture" takes 2 min
    deflate all for 10 s
    deflate all
    recovery 30 min`;
    const lines = runLines(shownRun({ steps }, startOf("recovery")));
    expect(lines).toEqual([
      "  One run that leads here:",
      "             0:00  3 steps, insert cannula to confirm all           lines 3 to 5",
      "                      proximal confirmed, distal confirmed,",
      "                      cannula in",
      "             0:00  inject local                drug in the limb           line 6",
      "             1:00  inject local ends                                      line 6",
      '    1:00 to 21:00  21 steps, wait 1 min to task "Suture"           lines 7 to 27',
      '            23:00  task "Suture" ends                                    line 27',
      "            23:00  deflate all for 10 s        proximal flat, distal     line 28",
      "                                               flat, drug released, no",
      "                                               cuff up",
      "            23:10  deflate all for 10 s ends   proximal up, distal up    line 28",
      "            23:10  deflate all                 proximal flat, distal     line 29",
      "                                               flat, no cuff up",
      "            23:10  recovery 30 min                                       line 30",
    ]);
  });

  test("names the file of a line that is not in the file of the finding", () => {
    const lines = runLines(SWAP, { file: "other.limb" });
    expect(lines.at(-3)).toMatch(/ small\.limb:19$/);
    const far = SWAP.lines.map((line) => ({
      ...line,
      ...(line.origin && { origin: { ...line.origin, file: `${"deep/".repeat(20)}small.limb` } }),
    }));
    const cut = runLines({ lines: far });
    expect(cut.filter((line) => / …\S*deep\/small\.limb:19$/.test(line))).toHaveLength(1);
    expect(cut.filter((line) => line.length > 80)).toEqual([]);
  });

  test("fits the screen, however narrow or however long its words", () => {
    const steps = `    insert cannula
    inflate all
    confirm all
    inject local
    task "${"Reduce the fracture and splint it, ".repeat(5).trim()}" takes 2 min
    deflate all`;
    const run = shownRun({ steps }, startOf("deflate"));
    for (const width of [60, 80, 100]) {
      for (const verbose of [false, true]) {
        const lines = runLines(run, { width, verbose });
        expect(lines.filter((line) => line.length > width)).toEqual([]);
        expect(lines.join(" ").replaceAll(/\s+/g, " ")).toContain(`splint it,"`);
      }
    }
  });

  test("says the same without colour", () => {
    const coloured = runLines(SWAP, { colour: true });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: the escape character starts a colour.
    const stripped = coloured.map((line) => line.replace(/\u001b\[[\d;]*m/g, ""));
    expect(coloured.join("")).toContain("\u001b[2m");
    expect(stripped).toEqual(runLines(SWAP));
  });
});
