/** The file that a dead or shut-out phone left behind: its outbox, to be handed in by the grower. */

/** A push, as the phone would have sent it. */
export interface Parcel {
  readonly epoch: string;
  readonly install: string;
  readonly app: string;
  readonly persisted: boolean | null;
  readonly entries: readonly string[];
}

export interface Result {
  readonly status: string;
}

/** What a file holds, in figures that a person can compare with the phone. */
export interface Contents {
  readonly parcel: Parcel;
  readonly count: number;
  readonly first: string | null;
  readonly last: string | null;
}

/** The parcel in a file, or null where it is none. */
export function opened(text: string): Contents | null {
  const found = parsed(text);
  if (found === null) return null;
  const { epoch, install, app, persisted, entries } = found;
  if (typeof install !== "string" || !/^\S{1,64}$/.test(install)) return null;
  if (!Array.isArray(entries)) return null;
  const texts = entries.map(textOf);
  if (!texts.every((one) => one !== null)) return null;
  const moments = texts.map(momentOf).filter((at) => at !== null);
  moments.sort();
  return {
    parcel: {
      epoch: textIn(epoch),
      install,
      app: textIn(app),
      persisted: typeof persisted === "boolean" ? persisted : null,
      entries: texts,
    },
    count: texts.length,
    first: moments[0] ?? null,
    last: moments.at(-1) ?? null,
  };
}

/** How many of each outcome there were. */
export function tally(results: readonly Result[]): ReadonlyMap<string, number> {
  const found = new Map<string, number>();
  for (const { status } of results) found.set(status, (found.get(status) ?? 0) + 1);
  return found;
}

function parsed(text: string): Readonly<Record<string, unknown>> | null {
  try {
    const found: unknown = JSON.parse(text);
    return typeof found === "object" && found !== null ? (found as Record<string, unknown>) : null;
  } catch {
    return null;
  }
}

/** An entry stands as its text, byte for byte, or in a row of the outbox that has it as `text`. */
function textOf(entry: unknown): string | null {
  if (typeof entry === "string") return entry;
  const { text } = (entry ?? {}) as { text?: unknown };
  return typeof text === "string" ? text : null;
}

function textIn(value: unknown): string {
  return typeof value === "string" ? value : "";
}

function momentOf(text: string): string | null {
  const at = parsed(text)?.["occurred_at"];
  return typeof at === "string" ? at : null;
}
