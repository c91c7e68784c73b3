/** The trays of a consignment as this phone has them, and what its row says of it. */
import { byText } from "../../log/entry";
import type { Seat } from "../../log/seats";
import { speech } from "../../parts/speech.svelte";
import type { KeptBatch } from "../../shelf/folding";
import { names } from "../names.svelte";
import { phone } from "../phone.svelte";

export function traysOf(consignment: string): KeptBatch[] {
  return [...phone.batches.values()]
    .filter((batch) => batch.consignment === consignment && batch.parents.length === 0)
    .sort((a, b) =>
      (a.label ?? a.id).localeCompare(b.label ?? b.id, speech.language, { numeric: true }),
    );
}

/** Labels of what has cells. */
export function trayLabels(): string[] {
  return [...phone.batches.values()].flatMap(({ cells, label }) =>
    cells === null || label === null ? [] : [label],
  );
}

interface Line {
  readonly crop: string;
  readonly stated?: number | null;
}

/** What the office typed of it; `stated` only where every line of the paper says a figure. */
export interface Typed {
  readonly certificate: string | null;
  readonly stated: number | null;
  readonly permit: string | null;
  readonly free: boolean;
  readonly crops: readonly string[];
}

export function typedOf(consignment: string): Typed | null {
  const body = phone.row("consignment", consignment)?.body;
  if (!body) return null;
  const lines = (body["lines"] ?? []) as readonly Line[];
  const figures = lines.map(({ stated }) => stated ?? null).filter((one) => one !== null);
  return {
    certificate: text(body["certificate"]),
    stated:
      figures.length > 0 && figures.length === lines.length
        ? figures.reduce((sum, one) => sum + one, 0)
        : null,
    permit: text(body["permit"]),
    free: body["without_conditions"] === true,
    crops: [...new Set(lines.map(({ crop }) => crop))],
  };
}

export function consignmentName(consignment: string): string {
  return names.of("consignment", consignment);
}

/** Those that the office typed and of which nothing has come, the next first. */
export function expected(): readonly Seat[] {
  const here = new Set([...phone.batches.values()].map(({ consignment }) => consignment));
  return phone
    .rowsOf("consignment")
    .filter(({ id }) => !here.has(id))
    .sort((a, b) => byText(due(a) + a.id, due(b) + b.id));
}

/** Those that are being counted, or came in these days. */
export function underWay(since: string): string[] {
  const found = new Set<string>();
  for (const batch of phone.batches.values()) {
    const { consignment, alive, parents } = batch;
    if (consignment === null || parents.length > 0) continue;
    if (alive === null || (batch.since ?? "") >= since) found.add(consignment);
  }
  return [...found].sort(byText);
}

function due({ body }: Seat): string {
  return text(body["arrived_on"]) ?? "9999";
}

function text(value: unknown): string | null {
  return typeof value === "string" && value !== "" ? value : null;
}
