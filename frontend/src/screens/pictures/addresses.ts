/** Where the bytes of a photo may be had, the best first: this phone, then the office's copies. */
import { phone } from "../phone.svelte";
import type { Picture } from "./story";

/** The longest side of the office's copies, in dots. */
const LONGEST = { small: 320, large: 1600 } as const;

export type Size = keyof typeof LONGEST;

/** Addresses one after the other; one that begins with `blob:` is to be given back. */
export async function* addressesOf(picture: Picture, size: Size): AsyncGenerator<string, void> {
  const { fact, told, sha256 } = picture;
  const office = `/api/v1/photos/${sha256}/${LONGEST[size]}`;
  const small = async (): Promise<string | null> => fact && here(fact.id, "thumb");
  const whole = size === "large" && fact ? await here(fact.id, "data") : null;
  if (whole !== null) yield whole;
  const tries = told?.state === "here" ? [() => office, small] : [small];
  // A small one from this phone needs no signal; enlarged it is the last resort.
  for (const one of size === "small" ? tries.reverse() : tries) {
    const address = await one();
    if (address !== null) yield address;
  }
}

async function here(id: string, which: "data" | "thumb"): Promise<string | null> {
  const file = await phone.photos.file(id, which).catch(() => null);
  return file && URL.createObjectURL(file);
}
