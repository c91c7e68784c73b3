/** Visitors who are inside somewhere now: the officer is one of them, as a rule. */
export function guests(
  places: Iterable<{
    readonly inside: readonly { readonly who: string; readonly visitor: boolean }[];
  }>,
): string[] {
  const found = new Set<string>();
  for (const { inside } of places) {
    for (const { who, visitor } of inside) if (visitor) found.add(who.split(", ")[0] ?? who);
  }
  return [...found];
}
