/** The shape of a copy's database, and how one of an older shape comes to it. */
import type { DBSchema, IDBPDatabase, IDBPTransaction } from "idb";
import type { CopyLine, CopyRow, Folded } from "./copy";
import { sheafOf, sheavesOf, type Sheaf } from "./sheaves";

export interface Schema extends DBSchema {
  /** This phone's own lines by their ids, until they come back; sheaves of the feed by numbers. */
  sheaves: {
    key: string | number;
    value: Sheaf;
    indexes: { ids: string; about: string; by: string };
  };
  rows: { key: [string, string]; value: CopyRow };
  folded: { key: string; value: Folded };
  /** Subjects whose folded state lags behind their lines. */
  stale: { key: string; value: true };
  told: { key: string; value: unknown };
}

export const STORES = ["sheaves", "rows", "folded", "stale", "told"] as const;
export type Stores = (typeof STORES)[number][];

export const VERSION = 3;
/** In this version each line was a row of its own; all else was as it is. */
const BY_LINES = 2;

/**
 * Build it empty. What a phone holds by lines is kept: a newer build may come where there is no
 * signal, and nobody could pull anew there.
 */
export async function build(
  database: IDBPDatabase<Schema>,
  before: number,
  work: IDBPTransaction<Schema, Stores, "versionchange">,
): Promise<void> {
  const lines = before === BY_LINES ? await linesOf(work) : null;
  const left: readonly string[] = lines ? ["rows", "folded", "stale", "told"] : [];
  for (const store of [...database.objectStoreNames]) {
    if (!left.includes(store)) database.deleteObjectStore(store);
  }
  const sheaves = database.createObjectStore("sheaves", { autoIncrement: true });
  for (const index of ["ids", "about", "by"] as const) {
    sheaves.createIndex(index, index, { multiEntry: true });
  }
  if (lines) {
    const own = lines.filter(({ seq }) => seq === null);
    const fed = lines.filter(({ seq }) => seq !== null);
    await Promise.all([
      ...sheavesOf(fed).map((sheaf) => sheaves.put(sheaf)),
      ...own.map((line) => sheaves.put(sheafOf([line]), line.id)),
    ]);
    return;
  }
  database.createObjectStore("rows", { keyPath: ["type", "id"] });
  database.createObjectStore("folded", { keyPath: "id" });
  database.createObjectStore("stale");
  database.createObjectStore("told");
}

async function linesOf(work: object): Promise<CopyLine[]> {
  const older = work as IDBPTransaction<unknown, string[], "versionchange">;
  return (await older.objectStore("lines").getAll()) as CopyLine[];
}
