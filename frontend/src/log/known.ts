/**
 * What a phone knows of a batch beyond its account and its place: of which the office keeps as much.
 *
 * Twin of the same fields in `nursery/domain/batch_steps.py`.
 */
import type { Entry } from "./entry";
import { batch } from "./fold";
import { standing } from "./timeline";

export interface Released {
  readonly notice: string;
  readonly at: string;
}

export interface Known {
  readonly beganAt: string | null;
  readonly crop: string | null;
  readonly container: string | null;
  /** Cells of the tray in which they stand; null where nothing bounds them. */
  readonly cells: number | null;
  readonly consignment: string | null;
  /** The permit that a record about the batch names itself. */
  readonly permit: string | null;
  /** The day from which the quarantine counts, where a record names it. */
  readonly openedOn: string | null;
  /** A label was lost: nobody can say which of its parents it came from. */
  readonly oneOfParents: boolean;
  readonly released: Released | null;
  /** Plants kept for the officer, by their fate. */
  readonly bag: Readonly<Record<string, number>>;
  /** Doubts that a standing record settles. */
  readonly settled: ReadonlySet<string>;
}

type Body = Readonly<Record<string, unknown>>;
type Growing = { -readonly [K in keyof Known]: Known[K] };

const BLANK: Omit<Known, "bag" | "settled"> = {
  beganAt: null,
  crop: null,
  container: null,
  cells: null,
  consignment: null,
  permit: null,
  openedOn: null,
  oneOfParents: false,
  released: null,
};

export function knownOf(id: string, entries: readonly Entry[]): Known {
  const about = entries.filter((entry) => entry.about.includes(id));
  const settled = new Set<string>();
  const known: Growing = { ...BLANK, bag: Object.fromEntries(batch(id, about).bag), settled };
  for (const entry of standing(about).entries) {
    if (entry.kind === "other" && entry.unread) continue;
    const kind = entry.kind === "other" ? entry.named : entry.kind;
    STEPS[kind]?.(known, entry.body as Body, entry.occurredAt, id);
    if (entry.kind === "settled") settled.add(entry.body.doubt);
  }
  return known;
}

type Step = (known: Growing, body: Body, at: string, id: string) => void;

const STEPS: Readonly<Record<string, Step>> = {
  received(known, body, at, id) {
    known.consignment = text(body["consignment"]);
    for (const born of list(body["batches"])) if (born["id"] === id) begin(known, born, at);
  },
  taken_on(known, body, at) {
    begin(known, body["batch"] as Body, at);
    known.permit = text(body["permit"]);
    known.openedOn = text(body["clock_started_on"]) ?? known.openedOn;
  },
  sown(known, body, at) {
    begin(known, body["batch"] as Body, at);
    known.consignment = text(body["consignment"]);
  },
  stuck(known, body, at, id) {
    const born = body["batch"] as Body;
    if (born["id"] === id) begin(known, born, at);
  },
  split: take,
  pricked: take,
  joined: take,
  mixed(known, body, at, id) {
    take(known, body, at, id);
    if (childrenOf(body, id).length > 0) known.oneOfParents = true;
  },
  potted(known, body) {
    known.container = text(body["container"]);
    known.cells = null;
  },
  opened(known, body) {
    known.openedOn = text(body["on"]);
    known.permit = text(body["permit"]);
  },
  released(known, body, at) {
    known.released = { notice: text(body["notice"]) ?? "", at };
  },
};

function begin(known: Growing, born: Body, at: string): void {
  known.beganAt ??= at;
  known.crop = text(born["crop"]);
  known.container = text(born["container"]);
  known.cells = figure(born["cells"]);
}

function take(known: Growing, body: Body, at: string, id: string): void {
  for (const child of childrenOf(body, id)) {
    known.beganAt ??= at;
    known.crop = text(child["crop"]) ?? known.crop;
    known.container = text(child["container"]) ?? known.container;
    known.cells = figure(child["cells"]);
  }
}

function childrenOf(body: Body, id: string): readonly Body[] {
  return list(body["children"]).filter((child) => child["id"] === id);
}

function list(value: unknown): readonly Body[] {
  return value as readonly Body[];
}

function text(value: unknown): string | null {
  return typeof value === "string" ? value : null;
}

function figure(value: unknown): number | null {
  return typeof value === "number" ? value : null;
}
