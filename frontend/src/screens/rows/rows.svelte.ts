/** The rows of one kind, as the office has them, with what is shown beside them. */
import type { Answer } from "../../net/office";
import type { BatchView } from "../../net/views";
import { book } from "../book.svelte";
import type { OwnBody, PermitBody, Row } from "../permits/shapes";
import type { ProfileBody } from "./profile";
import { Sheet } from "../sheet.svelte";
import type { Kind, NamedBody, Table } from "./shapes";
import { listingsOf, undescribed } from "./listed";

const NO_STARTS = { ok: true, data: { items: [] as readonly ProfileBody[] } } as const;
const NO_BATCHES = { ok: true, data: [] as readonly BatchView[] } as const;

interface Items<B> {
  readonly items: readonly Row<B>[];
}

export function rowsSheet(kind: Kind): Sheet<Table> {
  const sheet = new Sheet<Table>(`rows/${kind}`, () => fetched(kind));
  void sheet.load();
  return sheet;
}

async function fetched(kind: Kind): Promise<Answer<Table>> {
  const [rows, crops, permits, own, batches, starts] = await Promise.all([
    book.ask<Items<NamedBody>>(`/rows/${kind}`),
    book.ask<Items<NamedBody>>("/rows/crop"),
    book.ask<Items<PermitBody>>("/rows/permit"),
    book.ask<Items<OwnBody>>("/rows/due_rule"),
    kind === "crop" ? book.askAll<BatchView>("/batches?closed=true") : NO_BATCHES,
    kind === "crop" ? book.ask<{ items: readonly ProfileBody[] }>("/crop-profiles") : NO_STARTS,
  ]);
  if (!rows.ok) return rows;
  if (!crops.ok) return crops;
  if (!permits.ok) return permits;
  if (!own.ok) return own;
  if (!batches.ok) return batches;
  if (!starts.ok) return starts;
  return {
    ok: true,
    data: {
      rows: rows.data.items,
      crops: crops.data.items,
      undescribed: undescribed(batches.data, crops.data.items),
      listings: listingsOf(permits.data.items, own.data.items),
      starts: starts.data.items,
    },
  };
}
