/**
 * The last answers of the office, so that a sheet opens without signal.
 *
 * A cache: it may be dropped and fetched anew. What a person writes is never kept here.
 */
import { openDB, type DBSchema, type IDBPDatabase } from "idb";

export interface Kept<T> {
  /** The office's instant at which it was true. */
  readonly at: string;
  readonly data: T;
}

interface Shelf extends DBSchema {
  answers: { key: string; value: Kept<unknown> };
}

const NAME = "cache";
const VERSION = 1;

let opening: Promise<IDBPDatabase<Shelf>> | null = null;

function shelf(): Promise<IDBPDatabase<Shelf>> {
  opening ??= openDB<Shelf>(NAME, VERSION, {
    upgrade(database) {
      database.createObjectStore("answers");
    },
    blocking() {
      void forgetHandle();
    },
    terminated() {
      opening = null;
    },
  });
  return opening;
}

/** Let the database go; it is opened anew when it is next asked for. */
async function forgetHandle(): Promise<void> {
  const handle = opening;
  opening = null;
  try {
    (await handle)?.close();
  } catch {
    // It never opened.
  }
}

/** Keep an answer. A full or closed database keeps nothing, and nothing is lost by it. */
export async function keep(key: string, kept: Kept<unknown>): Promise<boolean> {
  try {
    await (await shelf()).put("answers", kept, key);
    return true;
  } catch {
    await forgetHandle();
    return false;
  }
}

/** The kept answer, or null where there is none or the database cannot be opened. */
export async function kept<T>(key: string): Promise<Kept<T> | null> {
  try {
    const found = await (await shelf()).get("answers", key);
    return (found as Kept<T> | undefined) ?? null;
  } catch {
    await forgetHandle();
    return null;
  }
}

/** Several kept answers by one question; null where there is none. */
export async function keptAll<T extends readonly unknown[]>(
  ...keys: { readonly [K in keyof T]: string }
): Promise<{ [K in keyof T]: Kept<T[K]> | null }> {
  type Found = { [K in keyof T]: Kept<T[K]> | null };
  try {
    const { store } = (await shelf()).transaction("answers");
    const found = await Promise.all(keys.map((key) => store.get(key)));
    return found.map((one) => one ?? null) as unknown as Found;
  } catch {
    await forgetHandle();
    return keys.map(() => null) as unknown as Found;
  }
}

/** Forget everything: another person signed in. */
export async function forget(): Promise<void> {
  try {
    await (await shelf()).clear("answers");
  } catch {
    await forgetHandle();
  }
}
