/** How many cells trays have here: what is most usual comes first. */
const MOST = 5;
// Trays of the trade, where no tray has told yet. (Common practice, no source.)
const USUAL = [54, 72, 104];

export function cellsOf(batches: Iterable<{ readonly cells: number | null }>): number[] {
  const uses = new Map<number, number>();
  for (const { cells } of batches) {
    if (cells !== null && cells > 0) uses.set(cells, (uses.get(cells) ?? 0) + 1);
  }
  const known = [...uses].sort(([a, n], [b, m]) => m - n || a - b).map(([cells]) => cells);
  return [...new Set([...known, ...USUAL])].slice(0, MOST);
}
