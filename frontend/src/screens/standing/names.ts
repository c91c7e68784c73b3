/** What causes, groups and positions of the field are called. */
import { speech } from "../../parts/speech.svelte";
import { names } from "../names.svelte";
import type { CountedBy } from "./shapes";
import { spans } from "./telling";

export function causeName(cause: string): string {
  const code = cause.replaceAll(" ", "_");
  return speech.word(`survey.cause_${code}`) ?? speech.word(`cause.${code}`) ?? cause;
}

/** A group by its key; a row is `block.row`. */
export function groupName(by: CountedBy, key: string): string {
  if (key === "") return speech.say("standing.no_name");
  if (by === "day") return speech.say("standing.day", { on: key });
  if (by === "row") {
    const at = key.lastIndexOf(".");
    const row = key.slice(at + 1);
    const block = names.of("place", key.slice(0, at));
    return row === "" ? block : `${block}, ${speech.say("survey.row", { n: row })}`;
  }
  return names.of(by === "block" ? "place" : by, key);
}

/** `TR5-61 to TR5-65, TR5-67`. */
export function positions(short: string, some: readonly string[]): string {
  return spans(some)
    .map(([first, last]) =>
      first === last
        ? `${short}-${first}`
        : speech.say("standing.span", { first: `${short}-${first}`, last: `${short}-${last}` }),
    )
    .join(", ");
}
