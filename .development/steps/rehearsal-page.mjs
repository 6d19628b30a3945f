import { createHash } from "node:crypto";
import { build } from "esbuild";
import { root } from "./files.mjs";
import { importSource } from "./sources.mjs";

const MARK = "Rehearsal. Not for use on a patient.";

/**
 * The rehearsal page with rule files in it: one page of HTML that loads nothing. Its policy lets through its own script and
 * style by their digests (W3C Content Security Policy Level 3), so nothing in a rule file can run.
 */
export async function rehearsalPage(ruleFiles) {
  const { script, style } = await parts();
  const { CAUTION } = await importSource("shared/text/text.ts");
  const policy = [
    "default-src 'none'",
    `script-src ${digest(script)}`,
    `style-src ${digest(style)}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return `<!doctype html>
<html lang="en-GB">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Rehearsal of a protocol</title>
<style>${style}</style>
</head>
<body>
<header class="mark"><p>${MARK}</p></header>
<main id="page"></main>
<footer><p>${CAUTION}</p></footer>
<script type="application/json" id="rule-files">${data(ruleFiles)}</script>
<script>${script}</script>
</body>
</html>
`;
}

async function parts() {
  const { outputFiles } = await build({
    absWorkingDir: root,
    bundle: true,
    charset: "ascii",
    conditions: ["limbwright-source"],
    entryPoints: { script: "examples/rehearsal/rehearsal.js", style: "examples/rehearsal/style.css" },
    format: "iife",
    minify: true,
    outdir: "rehearsal",
    platform: "browser",
    target: "es2022",
    write: false,
  });
  const textOf = (suffix) => outputFiles.find(({ path }) => path.endsWith(suffix)).text;
  return { script: textOf(".js"), style: textOf(".css") };
}

function digest(text) {
  return `'sha256-${createHash("sha256").update(text).digest("base64")}'`;
}

/** Texts as JSON in which nothing can end the element that holds them. */
function data(texts) {
  return JSON.stringify(texts).replaceAll("<", "\\u003c");
}
