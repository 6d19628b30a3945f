import chromium from "@sparticuz/chromium";
import { type Browser, chromium as playwright } from "playwright-core";

const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
];

let opened: Promise<Browser> | undefined;

/** A real Chromium without a window, one for all tests of a worker: it ends with that. Each test opens pages of its own and closes them. */
export function openBrowser(): Promise<Browser> {
  opened ??= launch();
  return opened;
}

async function launch(): Promise<Browser> {
  return playwright.launch({
    executablePath: await chromium.executablePath(),
    args: FLAGS,
    headless: true,
  });
}
