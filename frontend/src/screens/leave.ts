import { here } from "./route.svelte";

/** Go back to where the sheet was opened from; to `address` where it was opened by itself. */
export function leave(address: string): void {
  if (history.length > 1) history.back();
  else here.go(address, true);
}

/** The same, made while a sheet opens: whoever went elsewhere before it is done stays there. */
export function leaving(): (address: string) => void {
  const opened = location.hash;
  return (address) => {
    if (location.hash === opened) leave(address);
  };
}
