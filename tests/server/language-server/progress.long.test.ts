import type { ProofState } from "@limbwright/shared/editor";
import { expect, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { startClient } from "./client.ts";

const SHARED = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));
const WRIST = textOf("protocols/wrist-reduction.limb") ?? "";

/** More protocols than can be proven in a second. */
const MANY = Object.fromEntries(
  Array.from({ length: 28 }, (_, index) => [
    `protocols/wrist-${index}.limb`,
    WRIST.replace("protocol wrist-reduction", `protocol wrist-${index}`),
  ]),
);
const CAPABILITIES = { capabilities: { window: { workDoneProgress: true } } };

interface Reported {
  readonly token: string;
  readonly value: { readonly kind: string; readonly cancellable?: boolean; readonly message?: string };
}

test("work of more than a second shows how far it is", { timeout: 60_000 }, async () => {
  const client = await startClient({ ...SHARED, ...MANY }, CAPABILITIES);
  const kinds: string[] = [];
  const messages: string[] = [];
  client.connection.onRequest("window/workDoneProgress/create", () => null);
  client.connection.onNotification("$/progress", ({ value: { kind, message } }: Reported) => {
    kinds.push(kind);
    if (message !== undefined) messages.push(message);
  });
  await client.settled();
  await expect.poll(() => kinds.at(-1), { timeout: 20_000 }).toBe("end");
  expect(kinds[0]).toBe("begin");
  expect(kinds).toContain("report");
  // Files that were not read yet are still to be checked too.
  expect(Number(/^\d+/.exec(messages[0] ?? "")?.[0])).toBeGreaterThan(10);
});

test("work can be stopped, and what was not checked is said not to be", { timeout: 60_000 }, async () => {
  const client = await startClient({ ...SHARED, ...MANY }, CAPABILITIES);
  client.connection.onRequest("window/workDoneProgress/create", () => null);
  let isStopped = false;
  client.connection.onNotification("$/progress", ({ token, value }: Reported) => {
    // What begins again once a file is opened is let go on, however long it takes.
    if (value.kind !== "begin" || isStopped) return;
    isStopped = true;
    expect(value.cancellable).toBe(true);
    void client.connection.sendNotification("window/workDoneProgress/cancel", { token });
  });
  await client.settled();
  const last: ProofState | undefined = client.states.at(-1);
  expect(last?.protocols.length).toBeLessThan(Object.keys(MANY).length);
  await client.open("protocols/wrist-27.limb", MANY["protocols/wrist-27.limb"] ?? "");
  await expect
    .poll(
      () =>
        client.states
          .at(-1)
          ?.protocols.some(({ protocol, state }) => protocol === "wrist-27" && state === "holds"),
      { timeout: 20_000 },
    )
    .toBe(true);
});
