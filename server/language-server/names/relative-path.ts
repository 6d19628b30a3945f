/** The way from one file to another, with / between folders. */
export function relativePath(from: string, to: string): string {
  const start = from.split("/").slice(0, -1);
  const end = to.split("/");
  let common = 0;
  while (common < start.length && common < end.length - 1 && start[common] === end[common]) common++;
  return [...start.slice(common).map(() => ".."), ...end.slice(common)].join("/");
}
