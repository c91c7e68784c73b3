/** How far a picture of this phone has come, in the words of the sheets. */
import type { PhotoFact } from "../../shelf/photos";
import type { Key } from "../../words/catalogue";

export function howFar({ entry, state, refused }: PhotoFact): Key {
  if (entry === null) return "photo.in_none";
  if (state === "safe") return "photo.safe";
  if (state === "sent") return "photo.sent";
  if (refused !== undefined) return "photo.not_taken";
  return state === "kept" ? "photo.in_record" : "photo.described";
}
