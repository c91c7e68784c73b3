/** Which suspicion of a batch is being worked through, so that no second one begins by going back. */
import { dropDraft, keepDraft, keptDraft } from "../../shelf/drafts";
import { phone } from "../phone.svelte";

const keyOf = (subject: string): string => `${phone.writer?.person ?? ""}/suspect ${subject}`;

export function rememberFind(subject: string, find: string): void {
  keepDraft(keyOf(subject), JSON.stringify({ find }), Date.now());
}

export function lastFind(subject: string): string | null {
  return keptDraft<{ find: string }>(keyOf(subject), Date.now())?.find ?? null;
}

export function forgetFind(subject: string): void {
  dropDraft(keyOf(subject));
}
