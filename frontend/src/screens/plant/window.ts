/** Of many things of one size, those that are in sight, and as many again around them. */
export function inView(
  scrolled: number,
  seen: number,
  size: number,
  count: number,
): { readonly first: number; readonly end: number } {
  const around = Math.ceil(seen / size);
  const at = Math.floor(Math.max(0, scrolled) / size);
  const first = Math.max(0, Math.min(at - around, count - around));
  return { first, end: Math.min(count, Math.max(0, at) + 2 * around + 1) };
}
