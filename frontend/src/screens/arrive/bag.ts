/** What lies in the officer's bag, tray by tray. */
export interface InBag {
  readonly id: string;
  readonly count: number;
}

/** `of` tells the bag of a batch, by fate. */
export function bagged(
  batches: readonly { readonly id: string }[],
  of: (id: string) => Readonly<Record<string, number>>,
): InBag[] {
  return batches
    .map(({ id }) => ({ id, count: Object.values(of(id)).reduce((sum, n) => sum + n, 0) }))
    .filter(({ count }) => count > 0);
}
