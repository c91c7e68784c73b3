/** A photo in words. */
import { names } from "../names.svelte";
import { isShot } from "../photo/shots";
import type { Voice } from "../batch/telling";
import { stateOf, type Picture } from "./story";

type Speech = Pick<Voice, "say" | "word">;

/** What it shows: the view that was asked for, or what its record says. */
export function viewIn(shows: string | null, { say, word }: Speech): string {
  if (shows === null) return word("kind.photographed") ?? say("kind.other");
  return isShot(shows) ? say(`shows.${shows}`) : shows;
}

/** What it shows, and for which act it was taken. */
export function whatIn({ shows, acts }: Picture, { say, word }: Speech): string {
  const told = acts.map((kind) => word(`kind.${kind}`) ?? say("kind.other"));
  return [viewIn(shows, { say, word }), ...told].join(" · ");
}

/** When, and by whom. */
export function whenIn({ at, author }: Picture, { say }: Speech): string {
  if (author === null) return say("photo.taken_on", { at });
  return say("pictures.by", { at, name: names.of("person", author) });
}

export function stateIn(picture: Picture, { say }: Speech): string {
  const name = picture.by === null ? "" : names.of("person", picture.by);
  return say(stateOf(picture), { name, at: picture.told?.came_at ?? picture.at });
}
