/**
 * Keep what the first screen needs in one file, what many sheets share in another, and what a
 * batch's sheet needs besides in a third.
 *
 * Left to itself the build makes a file of each few lines that some other sheet needs as well. A
 * phone on a slow link asks for two dozen files then, each with a round trip of its own; and
 * without signal each is a question to the service worker, which a slow phone answers in some
 * milliseconds: a batch's sheet was fifty.
 */
import { fileURLToPath } from "node:url";
import type { Plugin, Rollup } from "vite";

export interface Modules {
  getModuleInfo(
    id: string,
  ): Pick<Rollup.ModuleInfo, "importedIds" | "dynamicallyImportedIds"> | null;
}

const FILES = ["first", "parts", "batch"] as const;
type File = (typeof FILES)[number];

/** What at least so many sheets need lies in one file for all of them. */
export const MANY = 12;
export const SCRIPT = fileOf("../src/main.ts");
export const BATCH = fileOf("../src/screens/batch/Batch.svelte");

export function firstRoute(): Plugin {
  let groups: ReadonlyMap<string, File> | null = null;
  return {
    name: "first-route",
    apply: "build",
    buildStart() {
      groups = null;
    },
    config: () => ({
      build: {
        rolldownOptions: {
          output: {
            codeSplitting: {
              // In this order: a file takes along what its modules rest on, save what one before took.
              groups: FILES.map((file, nth) => ({
                name: (id: string, modules: Modules) => {
                  groups ??= groupsOf(modules);
                  return groups.get(id) === file ? file : null;
                },
                priority: FILES.length - nth,
              })),
            },
          },
        },
      },
    }),
  };
}

/** The file of each module that is not left to the build. */
export function groupsOf(modules: Modules): Map<string, File> {
  const first = atOnce(modules, SCRIPT);
  const batch = atOnce(modules, BATCH);
  if (batch.size === 1) throw new Error(`No sheet of a batch: ${BATCH}. Name the file it is in.`);
  const groups = new Map<string, File>();
  for (const id of batch) groups.set(id, "batch");
  const times = new Map<string, number>();
  for (const sheet of later(modules)) {
    for (const id of atOnce(modules, sheet)) times.set(id, (times.get(id) ?? 0) + 1);
  }
  for (const [id, many] of times) if (many >= MANY) groups.set(id, "parts");
  for (const id of first) groups.set(id, "first");
  return groups;
}

/** A module and all that it imports at once. */
function atOnce(modules: Modules, root: string): Set<string> {
  const seen = new Set<string>();
  const visit = (id: string): void => {
    if (seen.has(id)) return;
    seen.add(id);
    modules.getModuleInfo(id)?.importedIds.forEach(visit);
  };
  visit(root);
  return seen;
}

/** What is fetched when it is first opened. */
function later(modules: Modules): Set<string> {
  const seen = new Set<string>();
  const found = new Set<string>();
  const visit = (id: string): void => {
    if (seen.has(id)) return;
    seen.add(id);
    const info = modules.getModuleInfo(id);
    info?.importedIds.forEach(visit);
    info?.dynamicallyImportedIds.forEach((sheet) => {
      found.add(sheet);
      visit(sheet);
    });
  };
  visit(SCRIPT);
  return found;
}

function fileOf(path: string): string {
  return fileURLToPath(new URL(path, import.meta.url));
}
