/** A shake of the phone, where it can: something was not as meant. */
export function buzz(): void {
  // Not every browser has it, whatever its types say.
  const shake = (navigator as { vibrate?: (ms: number) => boolean }).vibrate;
  shake?.call(navigator, 200);
}
