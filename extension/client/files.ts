import { FileType, Uri, workspace } from "vscode";

/** As deep as folders are gone into: nobody keeps protocols deeper, and a link may lead in a circle. */
const DEEPEST = 12;

/** The path in a folder of every file below it whose name ends so, in order; as the command line finds `.limb` files. */
export async function filesBelow(folder: Uri, suffix = ".limb"): Promise<string[]> {
  const found: string[] = [];
  const take = (file: string) => {
    if (file.endsWith(suffix)) found.push(file);
  };
  await search(folder, "", DEEPEST, take);
  return found.sort();
}

async function search(
  folder: Uri,
  path: string,
  deeper: number,
  take: (file: string) => void,
): Promise<void> {
  const entries = await entriesOf(Uri.joinPath(folder, path));
  for (const [name, type] of entries) {
    const file = path === "" ? name : `${path}/${name}`;
    if (name.startsWith(".") || name === "node_modules") continue;
    if ((type & FileType.Directory) !== 0) {
      if (deeper > 0) await search(folder, file, deeper - 1, take);
    } else take(file);
  }
}

/** A folder that cannot be read holds nothing for us; the editor tells of it where it shows it. */
async function entriesOf(folder: Uri): Promise<readonly [string, FileType][]> {
  try {
    return await workspace.fs.readDirectory(folder);
  } catch {
    return [];
  }
}

/** The text of a file; undefined where there is none that can be read. */
export async function textOfFile(uri: Uri): Promise<string | undefined> {
  try {
    return new TextDecoder().decode(await workspace.fs.readFile(uri));
  } catch {
    return undefined;
  }
}

export async function isThere(uri: Uri): Promise<boolean> {
  try {
    await workspace.fs.stat(uri);
    return true;
  } catch {
    return false;
  }
}
