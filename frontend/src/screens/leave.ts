import { here } from "./route.svelte";

/** Go back to where the sheet was opened from; to `address` where it was opened by itself. */
export function leave(address: string): void {
  if (history.length > 1) history.back();
  else here.go(address, true);
}
