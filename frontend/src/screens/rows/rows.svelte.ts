/** The rows of one kind, as the office has them, with what is shown beside them. */
import type { Answer } from "../../net/office";
import { book } from "../book.svelte";
import type { OwnBody, PermitBody, Row } from "../permits/shapes";
import { Sheet } from "../sheet.svelte";
import type { Kind, NamedBody, Table } from "./shapes";
import { listingsOf } from "./typing";

interface Items<B> {
  readonly items: readonly Row<B>[];
}

export function rowsSheet(kind: Kind): Sheet<Table> {
  const sheet = new Sheet<Table>(`rows/${kind}`, () => fetched(kind));
  void sheet.load();
  return sheet;
}

async function fetched(kind: Kind): Promise<Answer<Table>> {
  const [rows, crops, permits, own] = await Promise.all([
    book.ask<Items<NamedBody>>(`/rows/${kind}`),
    book.ask<Items<NamedBody>>("/rows/crop"),
    book.ask<Items<PermitBody>>("/rows/permit"),
    book.ask<Items<OwnBody>>("/rows/due_rule"),
  ]);
  if (!rows.ok) return rows;
  if (!crops.ok) return crops;
  if (!permits.ok) return permits;
  if (!own.ok) return own;
  return {
    ok: true,
    data: {
      rows: rows.data.items,
      crops: crops.data.items,
      listings: listingsOf(permits.data.items, own.data.items),
    },
  };
}
