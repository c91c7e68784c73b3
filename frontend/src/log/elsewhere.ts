/**
 * What the office knows of a batch though this phone lacks its records: one that was closed before a
 * phone joined is told only by records that it shares with others, and would be taken for living.
 */

/** What the office last told of all living batches, and as of which line of the feed. */
export interface Living {
  readonly as_of_seq: number;
  readonly batches: Readonly<Record<string, unknown>>;
}

/** The last line of the feed among a subject's records; null while one has not been heard of there. */
export function upTo(lines: readonly { readonly seq: number | null }[]): number | null {
  const seqs = lines.map(({ seq }) => seq).filter((seq) => seq !== null);
  return seqs.length === lines.length && seqs.length > 0 ? Math.max(...seqs) : null;
}

/** Whether the office knew all that this phone knows of a batch, and told it among no living. */
export function isClosedThere(id: string, last: number | null, told: Living | null): boolean {
  return told !== null && last !== null && last <= told.as_of_seq && !(id in told.batches);
}
