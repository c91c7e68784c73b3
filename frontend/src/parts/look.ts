/** How a batch is drawn and called, from what the office says of it. */
export interface Doubtful {
  readonly code: string;
  readonly settled_by: string | null;
}

export interface Worn {
  readonly holds: Readonly<Record<string, string>>;
  readonly finds: readonly string[];
  readonly outlook?: {
    readonly held: readonly HeldBy[];
    readonly samples?: readonly { readonly find: string | null }[];
  } | null;
  readonly released: unknown;
  readonly closed: boolean;
}

export interface Drawn {
  readonly one_of_parents?: boolean;
  readonly container?: string | null;
  readonly cells?: number | null;
}

export function shapeOf(batch: Drawn): "tray" | "mixed" | "pots" {
  if (batch.one_of_parents === true) return "mixed";
  return batch.container && !batch.cells ? "pots" : "tray";
}

export interface Status {
  readonly code: "held" | "suspect" | "released" | "closed";
  readonly sign: string;
  readonly tone: "stop" | "wait" | "go" | "plain";
}

const STATUSES: Readonly<Record<Status["code"], Status>> = {
  held: { code: "held", sign: "hold", tone: "stop" },
  suspect: { code: "suspect", sign: "found", tone: "stop" },
  released: { code: "released", sign: "release", tone: "go" },
  closed: { code: "closed", sign: "not-looked", tone: "plain" },
};

/** The states that a batch wears beside its stage, the gravest first. */
export function statuses(batch: Worn): Status[] {
  const worn: (Status["code"] | false)[] = [
    isHeld(batch) && "held",
    batch.finds.length > 0 && "suspect",
    batch.released !== null && batch.released !== undefined && "released",
    batch.closed && "closed",
  ];
  return worn.filter((code) => code !== false).map((code) => STATUSES[code]);
}

/** By an order about the batch itself, or by what it shared with a find. */
export function isHeld({ holds, outlook }: Worn): boolean {
  return Object.keys(holds).length > 0 || (outlook?.held.length ?? 0) > 0;
}

export interface HeldBy {
  readonly by: string;
  readonly reference: string;
}

/** What holds it: orders about the batch itself, and what the office worked out. */
export function heldBy({ holds, outlook }: Worn): HeldBy[] {
  const told = outlook?.held ?? [];
  const own = Object.keys(holds).filter((name) => !told.some((hold) => hold.reference === name));
  return [...own.map((reference) => ({ by: "order", reference })), ...told];
}

export function openDoubts<D extends Doubtful>(doubts: readonly D[]): D[] {
  return doubts.filter(({ settled_by }) => settled_by === null);
}

const SIGNS: Readonly<Record<string, string>> = {
  toughening: "harden",
  planted: "plant",
  ready: "weeks",
  quarantine: "close-vent",
  growing_on: "bench",
};

export function stageSign(stage: string | null): string {
  return SIGNS[stage ?? ""] ?? "tray";
}
