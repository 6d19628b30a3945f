import {
  type ComparisonSection,
  compareSites,
  comparisonBody,
  comparisonSection,
  type EarlierTexts,
  earlierVersions,
  type JudgeFileOptions,
  judgeFile,
  type ProtocolComparison,
  RememberedJudgements,
  readCompiledVersion,
  refusalOf,
  Site,
  scenarioResult,
} from "@limbwright/language";
import { markupText } from "@limbwright/shared/text";
import type { CommitListed } from "../../workspace/last-commit.ts";
import type { ProverAnswer, ProverRequest } from "./prover-messages.ts";

interface MirroredFolder {
  readonly site: Site;
  readonly texts: Map<string, string>;
  readonly remembered: RememberedJudgements;
  /** What its protocols are compared with. */
  earlier?: JudgeFileOptions["earlierVersions"];
}

/** What the thread that it runs in gives. */
export interface ProverSurroundings {
  /** Whether the judgement of a task is no longer wanted. */
  readonly isInterrupted: (task: number) => boolean;
  /** Whether nobody waits for the comparison of a task any more. */
  readonly isCancelled: (task: number) => boolean;
  /** Gives the texts of a commit, of a folder that is known by its URI. Missing where there is no Git. */
  readonly textsOfCommit?: (folder: string, commit: CommitListed) => EarlierTexts;
}

/**
 * What runs in the prover's thread: it keeps the texts of the folders as it is told them, and judges files by every rule,
 * those over runs too, runs scenarios and compares versions.
 */
export function proverService({
  isInterrupted,
  isCancelled,
  textsOfCommit,
}: ProverSurroundings): (request: ProverRequest) => ProverAnswer | undefined {
  const folders = new Map<string, MirroredFolder>();
  const folderOf = (uri: string) => {
    const known = folders.get(uri);
    if (known) return known;
    const texts = new Map<string, string>();
    const folder: MirroredFolder = {
      site: new Site((file) => texts.get(file)),
      texts,
      remembered: new RememberedJudgements(),
    };
    folders.set(uri, folder);
    return folder;
  };
  return (request) => {
    if (request.kind === "close") {
      folders.delete(request.folder);
      return undefined;
    }
    const folder = folderOf(request.folder);
    if (request.kind === "text") {
      if (request.text === undefined) folder.texts.delete(request.file);
      else folder.texts.set(request.file, request.text);
      folder.site.noteChange(request.file);
      return undefined;
    }
    if (request.kind === "commit") {
      const texts = request.commit && textsOfCommit?.(request.folder, request.commit);
      if (texts) folder.earlier = earlierVersions(texts, folder.site);
      else delete folder.earlier;
      return undefined;
    }
    return withFault(request.task, () => {
      if (request.kind === "judge") return judgeInProver(folder, request, isInterrupted);
      if (request.kind === "run-scenario") return scenarioRan(folder, request);
      return compareInProver(folder.site, request, () => isCancelled(request.task));
    });
  };
}

function withFault(task: number, answer: () => ProverAnswer): ProverAnswer {
  try {
    return answer();
  } catch (error) {
    return { task, fault: error instanceof Error ? (error.stack ?? error.message) : String(error) };
  }
}

function judgeInProver(
  { site, remembered, earlier }: MirroredFolder,
  { file, on, task, isOpen }: Extract<ProverRequest, { kind: "judge" }>,
  isInterrupted: (task: number) => boolean,
): ProverAnswer {
  const isCancelled = () => isInterrupted(task);
  if (isCancelled()) return { task };
  if (!isOpen) remembered.forget(file);
  const result = judgeFile(site, file, {
    on,
    isCancelled,
    withReleases: isOpen,
    ...(isOpen && { remembered }),
    ...(earlier && { earlierVersions: earlier }),
  });
  // What was interrupted is not decided for a reason that is no longer true when it is asked again.
  if (!result || isCancelled()) return { task };
  if (result.protocols.length > 0 && !isOpen) site.forget(file);
  return { task, judged: result };
}

function scenarioRan(
  { site }: MirroredFolder,
  { file, on, scenario, task }: Extract<ProverRequest, { kind: "run-scenario" }>,
): ProverAnswer {
  const ran = scenarioResult(site, file, scenario, { on });
  return { task, ...(ran && { ran }) };
}

/** Compares files of a site with what they were, as markup. */
function compareInProver(
  site: Site,
  { before, now, on, task }: Extract<ProverRequest, { kind: "compare" }>,
  isCancelled: () => boolean,
): ProverAnswer {
  const kept = before.ruleFile && readKeptVersion(before.ruleFile);
  if (kept && "refused" in kept) return { task, compared: kept };
  const protocols: ProtocolComparison[] = [];
  const sections: ComparisonSection[] = [];
  const earlier = {
    ...before,
    site: new Site((file) => before.texts.get(file)),
    ...(kept && { compiled: [kept] }),
  };
  const comparing = compareSites(earlier, { ...now, site }, { on, isCancelled });
  let step = comparing.next();
  for (; !step.done && !isCancelled(); step = comparing.next()) {
    protocols.push(step.value.comparison);
    sections.push(comparisonSection(step.value, sections.length + 1));
  }
  // What was cut short says less than there is.
  if (!step.done || isCancelled()) return { task };
  const comparison = { protocols, notCompared: step.value };
  const report = { before: before.name, now: now.name, on, comparison };
  return { task, compared: { markup: markupText(comparisonBody(report, sections)) } };
}

function readKeptVersion({ path, text }: { readonly path: string; readonly text: string }) {
  const reading = readCompiledVersion(path, text);
  if (reading.kind === "read") return reading.version;
  const { what, next } = refusalOf(path, reading.because);
  return { refused: `${what} ${next}` };
}
