/** Plants of each place, those of the places in it included. */
export function plantsOf(
  batches: readonly { readonly place: string | null; readonly alive: number | null }[],
  outward: (place: string) => readonly string[],
): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const { place, alive } of batches) {
    for (const around of place === null ? [] : outward(place)) {
      found.set(around, (found.get(around) ?? 0) + (alive ?? 0));
    }
  }
  return found;
}
