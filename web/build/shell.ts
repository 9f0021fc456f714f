/**
 * Tells the service worker which files make up the app.
 *
 * After everything is built, `__SHELL_FILES__` and `__SHELL_DIGEST__` in sw.js become the list of the
 * app's files and a digest over their bytes. Each file stands in the list once, since `cache.addAll`
 * refuses duplicates. Source maps are left out; so is the worker itself.
 */

import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

export interface BuiltFile {
  readonly name: string;
  readonly bytes: string | Uint8Array;
}

export interface Shell {
  readonly files: readonly string[];
  readonly digest: string;
}

/** The app's addresses in order, and the digest over names and bytes. */
export function shellOf(built: readonly BuiltFile[], worker: string): Shell {
  const byName = new Map(
    built
      .filter((file) => file.name !== worker && !file.name.endsWith(".map"))
      .map((file) => [file.name, file.bytes] as const),
  );
  const names = [...byName.keys()].sort();
  const hash = createHash("sha256");
  for (const name of names) {
    hash.update(`${name}\n`).update(byName.get(name) ?? "");
  }
  return {
    files: names.map((name) => (name === "index.html" ? "/" : `/${name}`)),
    digest: hash.digest("hex").slice(0, 16),
  };
}

/** The worker's code with the list and the digest in it. */
export function filled(code: string, shell: Shell): string {
  if (!code.includes("__SHELL_FILES__") || !code.includes("__SHELL_DIGEST__")) {
    throw new Error("the service worker does not use __SHELL_FILES__ and __SHELL_DIGEST__");
  }
  return code
    .replaceAll("__SHELL_FILES__", () => JSON.stringify(shell.files))
    .replaceAll("__SHELL_DIGEST__", () => JSON.stringify(shell.digest));
}

/** The vite plugin: `worker` is the name of the worker's file in the output. */
export function shell(worker: string): Plugin {
  let publicFolder = "";
  return {
    name: "canalclock-shell",
    apply: "build",
    configResolved(config) {
      publicFolder = config.publicDir;
    },
    generateBundle: {
      order: "post",
      handler(_options, bundle) {
        const entry = bundle[worker];
        if (entry === undefined) {
          return;
        }
        if (entry.type !== "chunk") {
          throw new Error(`${worker} is not a script`);
        }
        const built = Object.values(bundle).map((file) => ({
          name: file.fileName,
          bytes: file.type === "chunk" ? file.code : file.source,
        }));
        entry.code = filled(entry.code, shellOf([...built, ...filesIn(publicFolder)], worker));
      },
    },
  };
}

function filesIn(folder: string): BuiltFile[] {
  if (folder === "") {
    return [];
  }
  let entries: ReturnType<typeof listed>;
  try {
    entries = listed(folder);
  } catch {
    return [];
  }
  return entries
    .filter((entry) => entry.isFile())
    .map((entry) => {
      const path = join(entry.parentPath, entry.name);
      return {
        name: path.slice(folder.length + 1).replaceAll("\\", "/"),
        bytes: readFileSync(path),
      };
    });
}

function listed(folder: string) {
  return readdirSync(folder, { recursive: true, withFileTypes: true });
}
