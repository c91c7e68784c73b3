/** From the camera to the disk, and from there into the records of one act. */
import type { Draft } from "../../log/write";
import { encoded, Unreadable } from "../../photo/encode";
import { ShelfFault } from "../../shelf/handle";
import type { PhotoFact } from "../../shelf/photos";
import { book } from "../book.svelte";
import { phone } from "../phone.svelte";
import type { Shot } from "./shots";

/** Why a picture was not kept; the record can be saved without it. */
export type Unkept = "full" | "shelf" | "unreadable";

const DAY_MS = 24 * 3600_000;

let keeping: Promise<unknown> = Promise.resolve();

/** Make it small and keep it: on the disk when this returns. */
export function take(file: Blob, subject: string, shows: Shot): Promise<PhotoFact> {
  const of = { id: `photo-${crypto.randomUUID()}`, subject, shows, takenAt: book.now() };
  const mine = encoded(file).then((picture) => phone.photos.keep(picture, of));
  keeping = Promise.allSettled([keeping, mine]);
  return mine;
}

/**
 * The records of the pictures that a form has taken, to be saved in one act with what they prove.
 * A picture that is still being kept is waited for, so the form is asked for its names after that.
 */
export async function drafts(
  taken: () => readonly string[],
  about: readonly string[],
): Promise<Draft[]> {
  await keeping;
  const facts = await phone.photos.facts(taken()).catch(nothingWhereShut);
  return facts.map(({ id, sha256, width, height, shows }) => ({
    kind: "photographed",
    about,
    body: { photo: id, sha256, width, height, shows },
  }));
}

/** Pictures of this subject that came back from the camera and that no form holds. */
export async function offered(
  subject: string,
  taken: readonly string[],
): Promise<readonly PhotoFact[]> {
  const oldest = new Date(Date.parse(book.now()) - DAY_MS).toISOString();
  const loose = await phone.photos.loose().catch(nothingWhereShut);
  return loose.filter(
    (fact) => fact.subject === subject && fact.takenAt > oldest && !taken.includes(fact.id),
  );
}

export function whyNot(fault: unknown): Unkept {
  if (fault instanceof Unreadable) return "unreadable";
  return fault instanceof ShelfFault && fault.fault === "full" ? "full" : "shelf";
}

function nothingWhereShut(fault: unknown): PhotoFact[] {
  if (fault instanceof ShelfFault) return [];
  throw fault;
}
