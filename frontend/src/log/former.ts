/** Labels that a batch bore before, each from when to when: old ones hang about for years. */
import type { Line } from "./history";
import { canonical } from "./labels";

/** Instants in UTC, as records write them. */
export interface Former {
  readonly label: string;
  readonly since: string;
  readonly until: string;
}

/**
 * The labels that a batch has borne and bears no more, the last one first, from its lines in any
 * order. A label that was only printed anew is no former one.
 */
export function formerLabels(lines: readonly Line[]): Former[] {
  const told = lines
    .filter(({ withdrawn }) => !withdrawn)
    .map(({ reading }) => reading)
    .sort((a, b) => order(a.occurredAt, b.occurredAt) || order(a.id, b.id));
  const found: Former[] = [];
  let since = told[0]?.occurredAt ?? "";
  for (const { kind, body, occurredAt } of told) {
    if (kind !== "relabelled") continue;
    const { old, new: fresh } = body;
    if (typeof old !== "string" || typeof fresh !== "string") continue;
    if (canonical(old) === canonical(fresh)) continue;
    found.push({ label: old, since, until: occurredAt });
    since = occurredAt;
  }
  return found.reverse();
}

function order(one: string, other: string): number {
  return one < other ? -1 : Number(one > other);
}
