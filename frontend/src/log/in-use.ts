/** Rows that hold for some time only: from one day on, or up to a last one. */

export interface Held {
  readonly since?: string | null;
  readonly until?: string | null;
}

export function isOver({ until }: Held, today: string): boolean {
  return typeof until === "string" && until < today;
}

/** Whether a row is offered on a day; what was written under it keeps its name on any. */
export function isInUse(body: Held, today: string): boolean {
  return (body.since ?? today) <= today && !isOver(body, today);
}
