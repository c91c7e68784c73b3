/** What a copy holds beside its lines, read as it stood at one moment. */
import type { IDBPDatabase } from "idb";
import type { Schema } from "./building";
import type { CopyRow, Cursor, Folded } from "./copy";
import { forecastIn, type Forecast } from "./forecast";

/** What was never told is not there. */
export interface Everything {
  /** Up to which number this phone's own records are in it. */
  readonly own?: number;
  readonly cursor?: Cursor;
  readonly outlook: Forecast | null;
  readonly heard?: string;
  readonly growers?: readonly string[];
  /** How many subjects' states lag behind their lines. */
  readonly stale: number;
  readonly rows: readonly CopyRow[];
  readonly states: readonly Folded[];
}

export async function everything(database: IDBPDatabase<Schema>): Promise<Everything> {
  const work = database.transaction(["rows", "folded", "stale", "told"]);
  const told = work.objectStore("told");
  const [own, cursor, heard, growers, outlook, stale, rows, states] = await Promise.all([
    ...(["own", "cursor", "heard", "growers"] as const).map((key) => told.get(key)),
    forecastIn((key) => told.get(key)),
    work.objectStore("stale").count(),
    work.objectStore("rows").getAll(),
    work.objectStore("folded").getAll(),
  ] as const);
  return { own, cursor, outlook, heard, growers, stale, rows, states } as Everything;
}
