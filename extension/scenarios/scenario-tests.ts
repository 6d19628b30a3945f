import {
  type ListedScenario,
  type ProofState,
  RUN_SCENARIO,
  RUN_SCENARIO_COMMAND,
  type RunScenarioAsked,
  SCENARIOS,
  type ScenarioRan,
  type ScenariosAsked,
  type TextRange,
} from "@limbwright/shared/editor";
import {
  type CancellationToken,
  commands,
  Disposable,
  type Event,
  Location,
  Range,
  type TestController,
  type TestItem,
  TestMessage,
  type TestRun,
  TestRunProfileKind,
  TestRunRequest,
  tests,
  Uri,
  workspace,
} from "vscode";
import type { BaseLanguageClient } from "vscode-languageclient";
import { filesBelow } from "../client/files.ts";
import { type TestOutcome, testOutcome } from "./scenario-outcome.ts";

/** How long a text rests before its scenarios are listed again, in ms. */
const PAUSE = 400;

/** The scenarios of the workspace in the editor's test view: a file each, and in it its scenarios. */
export class ScenarioTests implements Disposable {
  readonly #client: BaseLanguageClient;
  readonly #controller: TestController = tests.createTestController("limbwright", "Limbwright scenarios");
  readonly #parts: Disposable;
  /** Files that the server did not know yet when it was asked. */
  readonly #unknown = new Set<string>();
  readonly #waiting = new Map<string, ReturnType<typeof setTimeout>>();

  /** `proofStates` says that the server has got further, and may know files that it did not know. */
  constructor(client: BaseLanguageClient, proofStates: Event<ProofState>) {
    this.#client = client;
    const files = workspace.createFileSystemWatcher("**/*.limb");
    this.#controller.refreshHandler = () => this.listAll();
    this.#controller.createRunProfile(
      "Run",
      TestRunProfileKind.Run,
      (request, token) => this.#run(request, token),
      true,
    );
    this.#parts = Disposable.from(
      this.#controller,
      files,
      files.onDidCreate((uri) => this.#listSoon(uri)),
      files.onDidChange((uri) => this.#listSoon(uri)),
      files.onDidDelete((uri) => this.#controller.items.delete(uri.toString())),
      workspace.onDidOpenTextDocument(({ languageId, uri }) => languageId === "limb" && this.#listSoon(uri)),
      workspace.onDidChangeTextDocument(
        ({ document: { languageId, uri } }) => languageId === "limb" && this.#listSoon(uri),
      ),
      proofStates(() => this.#listUnknown()),
    );
  }

  /** Lists the scenarios of all files of the workspace. */
  async listAll(): Promise<void> {
    const folders = workspace.workspaceFolders ?? [];
    const found = await Promise.all(
      folders.map(async ({ uri }) => (await filesBelow(uri)).map((file) => Uri.joinPath(uri, file))),
    );
    await Promise.all(found.flat().map((uri) => this.#list(uri)));
  }

  /** What the code lens at a scenario calls. */
  registerCommand(): Disposable {
    return commands.registerCommand(RUN_SCENARIO_COMMAND, async (uri: unknown, scenario: unknown) => {
      if (typeof uri !== "string" || typeof scenario !== "string") return;
      await this.#list(Uri.parse(uri));
      const item = this.#controller.items.get(Uri.parse(uri).toString())?.children.get(scenario);
      if (item) await this.#run(new TestRunRequest([item]));
    });
  }

  dispose(): void {
    for (const waiting of this.#waiting.values()) clearTimeout(waiting);
    this.#parts.dispose();
  }

  #listSoon(uri: Uri): void {
    const key = uri.toString();
    clearTimeout(this.#waiting.get(key));
    this.#waiting.set(
      key,
      setTimeout(() => {
        this.#waiting.delete(key);
        void this.#list(uri);
      }, PAUSE),
    );
  }

  #listUnknown(): void {
    const unknown = [...this.#unknown];
    this.#unknown.clear();
    for (const uri of unknown) this.#listSoon(Uri.parse(uri));
  }

  async #list(uri: Uri): Promise<void> {
    if (!this.#client.isRunning()) return;
    const asked: ScenariosAsked = { uri: uri.toString() };
    const listed = await this.#client
      .sendRequest<readonly ListedScenario[] | null>(SCENARIOS, asked)
      // The server may end while it is asked; it is asked again when it tells of its work.
      .catch(() => null);
    if (listed) this.#show(uri, listed);
    else this.#unknown.add(uri.toString());
  }

  #show(uri: Uri, listed: readonly ListedScenario[]): void {
    const { items } = this.#controller;
    if (listed.length === 0) {
      items.delete(uri.toString());
      return;
    }
    const known = items.get(uri.toString());
    const file = known ?? this.#controller.createTestItem(uri.toString(), workspace.asRelativePath(uri), uri);
    file.children.replace(
      listed.map(({ name, protocol, range }) => {
        const item = file.children.get(name) ?? this.#controller.createTestItem(name, name, uri);
        item.description = protocol;
        item.range = rangeOf(range);
        return item;
      }),
    );
    if (!known) items.add(file);
  }

  async #run(request: TestRunRequest, token?: CancellationToken): Promise<void> {
    const run = this.#controller.createTestRun(request);
    const asked = this.#scenariosOf(request);
    for (const item of asked) run.enqueued(item);
    let caution = "";
    for (const item of asked) {
      if (token?.isCancellationRequested) run.skipped(item);
      else caution = (await this.#runOne(run, item)) ?? caution;
    }
    run.appendOutput(`\r\n${caution}\r\n`);
    run.end();
  }

  /** Gives the caution to be shown with what came. */
  async #runOne(run: TestRun, item: TestItem): Promise<string | undefined> {
    const uri = item.uri?.toString() ?? "";
    const asked: RunScenarioAsked = { uri, scenario: item.id };
    const begun = Date.now();
    run.started(item);
    try {
      const ran = await this.#client.sendRequest<ScenarioRan | null>(RUN_SCENARIO, asked);
      tell(run, item, testOutcome(ran), Date.now() - begun);
      return ran?.caution;
    } catch (error) {
      run.errored(item, new TestMessage(`Not decided: the scenario could not be run. ${error}`));
      return undefined;
    }
  }

  /** The scenarios a request names, those of the files it names, or all; without those that it leaves out. */
  #scenariosOf({ include, exclude = [] }: TestRunRequest): TestItem[] {
    const named = include ?? [...this.#controller.items].map(([, item]) => item);
    const all = named.flatMap((item) =>
      item.children.size > 0 ? [...item.children].map(([, child]) => child) : [item],
    );
    return all.filter((item) => !exclude.includes(item) && !(item.parent && exclude.includes(item.parent)));
  }
}

function tell(run: TestRun, item: TestItem, { state, messages, output }: TestOutcome, took: number): void {
  run.appendOutput(output.replaceAll("\n", "\r\n"), undefined, item);
  const told = messages.map(({ words, expected, found, range }) => {
    const message = new TestMessage(words);
    if (expected !== undefined && found !== undefined) {
      message.expectedOutput = expected;
      message.actualOutput = found;
    }
    const place = range ? rangeOf(range) : item.range;
    if (item.uri && place) message.location = new Location(item.uri, place);
    return message;
  });
  if (state === "passed") run.passed(item, took);
  else if (state === "failed") run.failed(item, told, took);
  else run.errored(item, told, took);
}

function rangeOf({ start, end }: TextRange): Range {
  return new Range(start.line, start.character, end.line, end.character);
}
