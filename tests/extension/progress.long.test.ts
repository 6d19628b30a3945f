import { expect, test } from "vitest";
import { inWorkbench, siteWith } from "./example-workbench.ts";
import { WRIST } from "./in-the-editor.ts";

/** More protocols than can be proven in a second, and none of them open. */
const MANY = Object.fromEntries(
  Array.from({ length: 150 }, (_, index) => [
    `protocols/wrist-${index}.limb`,
    (siteWith(WRIST)[WRIST] ?? "").replace("protocol wrist-reduction", `protocol wrist-${index}`),
  ]),
);

test("a check of more than a second is shown, and can be cancelled: what was not checked is said not to be", {
  timeout: 240_000,
}, async () => {
  await inWorkbench(
    { files: { ...siteWith(), ...MANY }, open: ["routines.limb"] },
    async (workbench) => {
      const progress = workbench.statusItem("Limbwright: going through the runs");
      await progress.click();
      const told = workbench.page.locator(".notification-list-item", { hasText: "going through the runs" });
      await told.waitFor();
      await workbench.picture("progress");
      await told.getByText("Cancel").click();
      await progress.waitFor({ state: "detached" });
      const standing = workbench.statusItem(/not checked, which is not a pass/);
      await standing.waitFor();
      await workbench.picture("progress-cancelled");
      expect(Number(/(\d+) files/.exec((await standing.textContent()) ?? "")?.[1])).toBeGreaterThan(1);
    },
    { fresh: true },
  );
});
