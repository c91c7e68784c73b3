import { paperFigure } from "../arrive/paper";
import { read, type Entry } from "../../log/entry";
import type { Answer } from "../../net/office";
import { speech } from "../../parts/speech.svelte";
import { local } from "../../words/local";
import { book } from "../book.svelte";
import type { Arrived } from "../looks/view";
import { Sheet } from "../sheet.svelte";

export interface Row {
  readonly id: string;
  readonly rev: number;
  readonly body: Readonly<Record<string, unknown>>;
}

/** What came, as the book has it, and what the office awaits. */
export interface Came {
  readonly trays: number;
  readonly counted: number | null;
  /** What the people who unpacked it read on the paper. */
  readonly stated: number | null;
  readonly on: string;
  readonly crops: readonly string[];
  /** Typed already, and nothing of it has come. */
  readonly awaited: readonly Row[];
  readonly permits: readonly Row[];
  /** The row that stands here already; null where nobody typed one. */
  readonly row: Row | null;
}

interface Tray {
  readonly began_at: string | null;
  readonly crop: string | null;
  readonly timeline: readonly { readonly entry: unknown }[];
}

export function came(consignment: string): Sheet<Came> {
  const sheet = new Sheet<Came>(`came ${consignment}`, () => fetched(consignment));
  void sheet.load();
  return sheet;
}

async function fetched(consignment: string): Promise<Answer<Came>> {
  const [all, rows, permits] = await Promise.all([
    book.ask<{ items: readonly Arrived[] }>("/consignments"),
    book.ask<{ items: readonly Row[] }>("/rows/consignment"),
    book.ask<{ items: readonly Row[] }>("/rows/permit"),
  ]);
  if (!all.ok) return all;
  if (!rows.ok) return rows;
  if (!permits.ok) return permits;
  const mine = all.data.items.find(({ id }) => id === consignment);
  if (!mine || mine.arrived.length === 0) return { ok: false, trouble: { why: "missing" } };
  const trays: Tray[] = [];
  for (const id of mine.arrived) {
    const tray = await book.ask<Tray>(`/batches/${encodeURIComponent(id)}`);
    if (!tray.ok) return tray;
    trays.push(tray.data);
  }
  const here = new Set(
    all.data.items.filter(({ arrived }) => arrived.length > 0).map(({ id }) => id),
  );
  const began = trays.flatMap(({ began_at }) => began_at ?? []).reduce((a, b) => (a < b ? a : b));
  return {
    ok: true,
    data: {
      trays: mine.arrived.length,
      counted: mine.counted,
      stated: paperFigure(entriesOf(trays)),
      on: local(began, speech.house.zone).day,
      crops: [...new Set(trays.flatMap(({ crop }) => crop ?? []))],
      awaited: rows.data.items.filter(({ id }) => !here.has(id)),
      permits: permits.data.items,
      row: rows.data.items.find(({ id }) => id === consignment) ?? null,
    },
  };
}

function entriesOf(trays: readonly Tray[]): Entry[] {
  return trays
    .flatMap(({ timeline }) => timeline.map(({ entry }) => read(entry)))
    .filter((entry) => entry !== null);
}

/** Write the row under the name that the phone gave it. */
export function write(
  consignment: string,
  found: Came,
  body: Readonly<Record<string, unknown>>,
): Promise<Answer<unknown>> {
  return book.tell("PUT", `/rows/consignment/${encodeURIComponent(consignment)}`, {
    rev: found.row?.rev ?? 0,
    body,
  });
}
