import { readFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { join } from "node:path";
import { PREVIEW, type PreviewAsked, type PreviewModel } from "@limbwright/shared/editor";
import type { Page } from "playwright-core";
import { extractText, getDocumentProxy } from "unpdf";
import { previewHtml } from "../../extension/client/webview-page.ts";
import type { FromPage, ToPage } from "../../extension/preview/messages.ts";
import { filesIn, textOf } from "../examples/site.ts";
import { serverForAll } from "../server/language-server/client.ts";
import { openBrowser } from "../server/open-browser.ts";

const DIST = join(import.meta.dirname, "../../extension/dist/preview");
const TYPES: Readonly<Record<string, string>> = { "/page.js": "text/javascript", "/style.css": "text/css" };

/** The built page of the preview in a real browser, outside any editor: what it is told and what it tells go through here. */
export class PreviewPages {
  readonly #server: Server;

  private constructor(server: Server) {
    this.#server = server;
  }

  static async open(): Promise<PreviewPages> {
    const server = createServer(({ url = "" }, response) => {
      const type = TYPES[url];
      response.setHeader("content-type", type ?? "text/html");
      response.end(type ? readFileSync(join(DIST, url)) : emptyPage());
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    return new PreviewPages(server);
  }

  close(): void {
    this.#server.close();
  }

  async newPage(size = { width: 1280, height: 900 }): Promise<PreviewPage> {
    const page = await (await openBrowser()).newPage({ viewport: size });
    const opened = new PreviewPage(page);
    await page.addInitScript(stubEditor);
    await page.goto(`http://127.0.0.1:${(this.#server.address() as AddressInfo).port}/`);
    return opened;
  }
}

function emptyPage(): string {
  return previewHtml({ script: "/page.js", style: "/style.css", source: "'self'", nonce: "abc123" });
}

/** Runs in the page, before its own script. */
function stubEditor(): void {
  const here = globalThis as unknown as { sent: unknown[]; acquireVsCodeApi: () => object };
  here.sent = [];
  here.acquireVsCodeApi = () => ({ postMessage: (message: unknown) => here.sent.push(message) });
}

export class PreviewPage {
  readonly page: Page;
  /** What the browser complains of, asks for or pops up by itself. */
  readonly heard: string[] = [];

  constructor(page: Page) {
    this.page = page;
    page.on("console", (message) => this.heard.push(message.text()));
    page.on("pageerror", (error) => this.heard.push(error.message));
    page.on("dialog", (dialog) => {
      this.heard.push(`dialog ${dialog.message()}`);
      void dialog.dismiss();
    });
  }

  async tell(message: ToPage): Promise<void> {
    await this.page.evaluate((told) => {
      const here = globalThis as unknown as { postMessage: (message: unknown, to: string) => void };
      here.postMessage(told, "*");
    }, message);
    // A message is taken in a task of its own.
    await this.page.evaluate(() => new Promise((resolve) => setTimeout(resolve, 0)));
  }

  /** What the page has told the editor, the last of a kind. */
  async told(kind: FromPage["kind"]): Promise<FromPage | undefined> {
    const sent = await this.page.evaluate(() => (globalThis as unknown as { sent: unknown[] }).sent);
    return (sent as FromPage[]).findLast((message) => message.kind === kind);
  }

  /** The theme's colours, as the editor hands them to a page. */
  async theme(colours: Readonly<Record<string, string>>): Promise<void> {
    await this.page.evaluate((given) => {
      const { style } = (globalThis as unknown as { document: { documentElement: { style: StyleLike } } })
        .document.documentElement;
      for (const [name, value] of Object.entries(given)) style.setProperty(`--vscode-${name}`, value);
    }, colours);
  }

  /** The text of each page that it prints on. */
  async printed(): Promise<readonly string[]> {
    const pdf = await getDocumentProxy(new Uint8Array(await this.page.pdf({ format: "A4" })));
    return (await extractText(pdf, { mergePages: false })).text;
  }

  close(): Promise<void> {
    return this.page.close();
  }
}

interface StyleLike {
  setProperty(name: string, value: string): void;
}

const HOSPITAL = Object.fromEntries(filesIn(".").map((file) => [file, textOf(file) ?? ""]));

const FILE = "drafts/one.limb";

/** Gives how to ask a server, one for all tests of a file, for what there is to show of a text as it stands when all is checked. */
export function previewModels(): (text: string, asked?: Partial<PreviewAsked>) => Promise<PreviewModel> {
  const start = serverForAll();
  const answers = new Map<string, PreviewModel>();
  return async (text, asked = {}) => {
    const question = JSON.stringify([text, asked]);
    const known = answers.get(question);
    if (known) return known;
    const client = await start(HOSPITAL);
    await client.open(FILE, text);
    await client.settled();
    const position = { line: 0, character: 0 };
    const model: PreviewModel | null = await client.connection.sendRequest(PREVIEW, {
      uri: client.uriOf(FILE),
      position,
      ...asked,
    });
    if (!model) throw new Error("the text has no protocol");
    answers.set(question, model);
    return model;
  };
}

export function example(file: string): string {
  const text = textOf(file);
  if (text === undefined) throw new Error(`there is no example ${file}`);
  return text;
}

/** Colours of a theme of each kind that an editor has. */
export const THEMES: Readonly<Record<string, Readonly<Record<string, string>>>> = {
  light: {
    "editor-background": "#ffffff",
    "editor-foreground": "#3b3b3b",
    descriptionForeground: "#3b3b3b",
    focusBorder: "#005fb8",
    "textLink-foreground": "#005fb8",
    "editorRuler-foreground": "#d3d3d3",
  },
  dark: {
    "editor-background": "#1f1f1f",
    "editor-foreground": "#cccccc",
    descriptionForeground: "#9d9d9d",
    focusBorder: "#0078d4",
    "textLink-foreground": "#4daafc",
    "editorRuler-foreground": "#5a5a5a",
  },
  "high contrast light": {
    "editor-background": "#ffffff",
    "editor-foreground": "#292929",
    descriptionForeground: "#292929",
    focusBorder: "#006bbd",
    contrastBorder: "#0f4a85",
    "textLink-foreground": "#0f4a85",
  },
  "high contrast": {
    "editor-background": "#000000",
    "editor-foreground": "#ffffff",
    descriptionForeground: "#ffffff",
    focusBorder: "#f38518",
    contrastBorder: "#6fc3df",
    "textLink-foreground": "#21a6ff",
  },
};
