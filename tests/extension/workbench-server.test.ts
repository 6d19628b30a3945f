import { get } from "node:http";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serveWorkbench } from "../../.development/workbench/serve.mjs";

let served: Awaited<ReturnType<typeof serveWorkbench>>;

beforeAll(async () => {
  served = await serveWorkbench({ files: { "a.limb": "</script>" }, open: ["a.limb"] });
});

afterAll(() => served.close());

/** Asks for a path exactly as it is written. */
function answerTo(path: string): Promise<{ status: number | undefined; text: string }> {
  const { port } = new URL(served.url);
  return new Promise((resolve, reject) => {
    get({ host: "127.0.0.1", port, path }, (response) => {
      let text = "";
      response.setEncoding("utf8");
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () => resolve({ status: response.statusCode, text }));
    }).on("error", reject);
  });
}

test("the workbench is served with the extension and the texts", async () => {
  expect((await answerTo("/")).text).toContain("window.product=");
  expect(JSON.parse((await answerTo("/limbwright/package.json")).text)).toMatchObject({ name: "limbwright" });
  expect(JSON.parse((await answerTo("/example-folder/texts.json")).text)).toMatchObject({
    files: { "a.limb": "</script>" },
  });
});

test.each(["/limbwright/..%2f..%2fpackage.json", "/..%2f..%2f..%2f..%2fetc/passwd", "/%", "/limbwright"])(
  "nothing outside is served: %s",
  async (path) => {
    expect((await answerTo(path)).status).toBe(404);
  },
);
