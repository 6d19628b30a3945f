import { expect, test } from "vitest";
import type { ProverAnswer, ProverRequest } from "../../../server/language-server/prover/prover-messages.ts";
import {
  type StartedWorker,
  type WorkerScope,
  webProver,
} from "../../../server/language-server/prover/web-prover.ts";

/** A worker that only keeps what it is told. */
class KeepingWorker implements StartedWorker {
  readonly told: ProverRequest[] = [];
  isEnded = false;
  onmessage: StartedWorker["onmessage"] = null;
  onerror: StartedWorker["onerror"] = null;

  postMessage(request: unknown): void {
    this.told.push(request as ProverRequest);
  }

  terminate(): void {
    this.isEnded = true;
  }
}

function proverWithWorkers() {
  const workers: KeepingWorker[] = [];
  const scope = {
    location: { href: "here" },
    Worker: class extends KeepingWorker {
      constructor() {
        super();
        workers.push(this);
      }
    },
  } as unknown as WorkerScope;
  const answers: ProverAnswer[] = [];
  const prover = webProver(scope);
  prover.onAnswer((answer) => answers.push(answer));
  return { prover, workers, answers };
}

const TEXT = { kind: "text", folder: "f", file: "a.limb", text: "" } as const;
const JUDGE = { kind: "judge", folder: "f", file: "a.limb", on: "2026-11-25", isOpen: true } as const;
const SCENARIO = {
  kind: "run-scenario",
  folder: "f",
  file: "a.limb",
  on: "2026-11-25",
  scenario: "S",
} as const;

function aMoment(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, 1));
}

test("an interrupted prover starts again only once there is something to prove, with all texts", async () => {
  const { prover, workers, answers } = proverWithWorkers();
  prover.post(TEXT);
  prover.post({ ...JUDGE, task: 1 });
  prover.interrupt(1);
  await aMoment();
  expect(answers).toEqual([{ task: 1 }]);
  expect(workers.map(({ isEnded }) => isEnded)).toEqual([true]);
  prover.post({ ...TEXT, file: "b.limb" });
  expect(workers).toHaveLength(1);
  prover.post({ ...JUDGE, task: 2 });
  expect(workers[1]?.told).toEqual([TEXT, { ...TEXT, file: "b.limb" }, { ...JUDGE, task: 2 }]);
});

test("a scenario that is asked for outlives the interruption of a proof", async () => {
  const { prover, workers } = proverWithWorkers();
  prover.post({ ...JUDGE, task: 1 });
  prover.post({ ...SCENARIO, task: 2 });
  prover.interrupt(1);
  expect(workers[1]?.told).toEqual([{ ...SCENARIO, task: 2 }]);
  workers[1]?.onmessage?.({ data: { task: 2 } });
  prover.post({ ...JUDGE, task: 3 });
  prover.interrupt(3);
  await aMoment();
  expect(workers).toHaveLength(2);
});

test("a worker that breaks is told as a fault, one that was ended is not, and neither ends the server", () => {
  const { prover, workers, answers } = proverWithWorkers();
  prover.post({ ...JUDGE, task: 1 });
  prover.interrupt(1);
  prover.post({ ...JUDGE, task: 2 });
  let handled = 0;
  const preventDefault = () => {
    handled += 1;
  };
  workers[0]?.onerror?.({ message: "ended while it was loading", preventDefault });
  expect(answers).toEqual([]);
  workers[1]?.onerror?.({ message: "cannot be loaded", preventDefault });
  expect(answers).toEqual([{ task: 2, fault: "cannot be loaded" }]);
  expect(handled).toBe(2);
});

test("a comparison that is cancelled ends with its worker, and what else was asked of it is asked again", async () => {
  const { prover, workers, answers } = proverWithWorkers();
  const version = { files: ["a.limb"], name: "a" };
  const compare = {
    kind: "compare",
    folder: "f",
    on: "2026-11-25",
    now: version,
    before: { ...version, texts: new Map() },
  } as const;
  prover.post(TEXT);
  prover.post({ ...compare, task: 1 });
  prover.post({ ...SCENARIO, task: 2 });
  prover.post({ ...JUDGE, task: 3 });
  prover.cancel(1);
  await aMoment();
  expect(answers).toEqual([{ task: 1 }, { task: 3 }]);
  expect(workers.map(({ isEnded }) => isEnded)).toEqual([true, false]);
  expect(workers[1]?.told).toEqual([TEXT, { ...SCENARIO, task: 2 }]);
  prover.cancel(1);
  expect(workers).toHaveLength(2);
});
