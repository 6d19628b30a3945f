import chromium from "@sparticuz/chromium";
import { type Browser, chromium as playwright } from "playwright-core";

const FLAGS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
];

/** Starts a real Chromium without a window; whoever starts it closes it. */
export async function openBrowser(): Promise<Browser> {
  return playwright.launch({
    executablePath: await chromium.executablePath(),
    args: FLAGS,
    headless: true,
  });
}
