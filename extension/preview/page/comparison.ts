/** Lets every place of the page be chosen by mouse and keyboard, and tells the editor which was. */
declare function acquireVsCodeApi(): { postMessage(message: unknown): void };

const editor = acquireVsCodeApi();

for (const place of document.querySelectorAll<HTMLElement>("[data-side]")) {
  const { side, file, line } = place.dataset;
  const open = () => editor.postMessage({ side, file, line: Number(line) });
  place.setAttribute("role", "link");
  place.tabIndex = 0;
  place.addEventListener("click", open);
  place.addEventListener("keydown", ({ key }) => {
    if (key === "Enter") open();
  });
}
