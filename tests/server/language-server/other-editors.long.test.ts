import { spawnSync } from "node:child_process";
import { chmodSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { delimiter, join } from "node:path";
import { beforeAll, expect, type TestContext, test } from "vitest";
import { filesIn, textOf } from "../../examples/site.ts";
import { IF_THERE } from "../../questions.ts";
import { folderWith } from "../run-limb.ts";

const ROOT = join(import.meta.dirname, "../../..");
const PAGE = readFileSync(join(ROOT, "server/language-server/other-editors.md"), "utf8");
const FLAWED = "flawed/swap-the-wrong-way.limb";
const SITE = Object.fromEntries([...filesIn("."), FLAWED].map((file) => [file, textOf(file) ?? ""]));

let lacking = "";

beforeAll(() => {
  const { status, stdout } = spawnSync(
    process.execPath,
    [join(ROOT, ".development/install-editors.mjs"), ...IF_THERE],
    {
      encoding: "utf8",
    },
  );
  lacking = status === 0 ? "" : stdout.trim();
}, 600_000);

/** The block of the page in one language. */
function blockOf(language: string): string {
  return new RegExp(`^\`\`\`${language}\\n([\\s\\S]*?)^\`\`\`$`, "m").exec(PAGE)?.[1] ?? "";
}

/** The example with its flaws in a folder, and `limb` on the path. */
function prepared(files: Readonly<Record<string, string>>) {
  const folder = folderWith({ ...SITE, ...files });
  const bin = join(folder, "bin");
  mkdirSync(bin);
  const limb = join(bin, "limb");
  writeFileSync(limb, `#!/bin/sh\nexec "${process.execPath}" "${join(ROOT, "server/bin/limb.cjs")}" "$@"\n`);
  chmodSync(limb, 0o755);
  const env = { ...process.env, HOME: folder, PATH: `${bin}${delimiter}${process.env.PATH}` };
  return { cwd: folder, env, encoding: "utf8", timeout: 60_000 } as const;
}

function skipWithout(editor: string, context: TestContext): void {
  context.skip(lacking.includes(editor), lacking);
}

const PROBE_LUA = `
local function ask(method, params)
  local answers = vim.lsp.buf_request_sync(0, method, params, 5000) or {}
  for _, answer in pairs(answers) do return answer.result end
end
local function found()
  for _, one in ipairs(vim.diagnostic.get(0)) do if one.code == "no-cuff-up" or (one.user_data and one.user_data.lsp and one.user_data.lsp.code == "no-cuff-up") then return true end end
  return false
end
vim.wait(20000, found, 50)
for _, one in ipairs(vim.diagnostic.get(0)) do io.write("found " .. one.message:gsub("\\n.*", "") .. "\\n") end
vim.fn.search("tourniquet-pain")
local here = vim.lsp.util.make_position_params()
local hover = ask("textDocument/hover", here)
io.write("hover " .. hover.contents.value:gsub("\\n", " ") .. "\\n")
local offered = ask("textDocument/completion", here)
io.write("completion " .. #(offered.items or offered) .. "\\n")
vim.api.nvim_buf_set_lines(0, 0, 0, false, { "   // moved" })
vim.wait(200)
local edits = ask("textDocument/formatting", { textDocument = vim.lsp.util.make_text_document_params(), options = { tabSize = 2, insertSpaces = true } })
io.write("edits " .. #edits .. "\\n")
vim.cmd("qa!")
`;

test("the set-up for Neovim on the page works", (context) => {
  skipWithout("nvim", context);
  const options = prepared({ "init.lua": blockOf("lua"), "probe.lua": PROBE_LUA });
  const { stdout, stderr } = spawnSync(
    "nvim",
    ["--headless", "-u", "init.lua", FLAWED, "-c", "luafile probe.lua"],
    options,
  );
  const told = stdout + stderr;
  expect(told).toMatch(/found .*[Nn]o cuff/);
  expect(told).toContain("hover **tourniquet-pain**");
  expect(told).toMatch(/completion [1-9]/);
  expect(told).toMatch(/edits [1-9]/);
});

const PROBE_ELISP = `
(setq eglot-sync-connect 20)
(find-file "${FLAWED}")
(unless (eglot-current-server)
  (eglot '(limb-mode) (project-current) 'eglot-lsp-server '("limb" "server" "--stdio") "limb"))
(let ((n 0))
  (while (and (< n 200) (not (seq-some (lambda (d) (string-match-p "cuff" (flymake-diagnostic-text d))) (flymake-diagnostics))))
    (accept-process-output nil 0.1)
    (when (= 0 (mod n 10)) (flymake-start))
    (setq n (1+ n))))
(dolist (d (flymake-diagnostics)) (princ (format "found %s\\n" (car (split-string (flymake-diagnostic-text d) "\\n")))))
(goto-char (point-min))
(search-forward "tourniquet-pai")
(princ (format "hover %s\\n" (plist-get (plist-get (jsonrpc-request (eglot--current-server-or-lose) :textDocument/hover (eglot--TextDocumentPositionParams)) :contents) :value)))
(goto-char (point-min))
(insert "    // moved\\n")
(eglot-format-buffer)
(princ (format "first line %s\\n" (buffer-substring (point-min) (progn (goto-char (point-min)) (line-end-position)))))
(set-buffer-modified-p nil)
(kill-emacs 0)
`;

test("the set-up for Emacs on the page works", (context) => {
  skipWithout("emacs", context);
  const start = "(require 'package) (package-initialize)\n";
  const options = prepared({ "init.el": `${start}${blockOf("elisp")}`, "probe.el": PROBE_ELISP });
  spawnSync("git", ["init", "--quiet"], options);
  const { stdout, stderr } = spawnSync("emacs", ["--batch", "-l", "init.el", "-l", "probe.el"], options);
  const told = stdout + stderr;
  expect(told).toMatch(/found .*no-cuff-up/);
  expect(told).toContain("hover **tourniquet-pain**");
  expect(told).toContain("first line // moved");
});
