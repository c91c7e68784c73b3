/** Names as the file itself brings them: whoever reads it needs nothing else of the nursery. */
import type { Happened, ReleaseFile, Version } from "../../net/file";
import type { Reading } from "../../log/history";
import type { NameOf } from "../batch/telling";
import { names } from "../names.svelte";

export function namesOf(file: ReleaseFile): NameOf {
  return (type, id) => {
    const found = file.names[type]?.[id];
    if (typeof found === "string") return found;
    const name = (found as { name?: unknown } | undefined)?.name;
    return typeof name === "string" ? name : names.of(type, id);
  };
}

/** A record of the file as the sheets of a batch read one. */
export function asReading(one: Happened | Version): Reading {
  return {
    ...{ id: one.entry, kind: one.kind, occurredAt: one.at, author: one.by },
    ...{ confirmed: one.confirmed, unread: false, byHand: false, body: one.body },
  };
}
