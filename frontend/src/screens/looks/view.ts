/** What the office gives of what needs a look. */
import type { Doubt, Group, NeedsALook } from "../../net/views";

export interface Aside {
  readonly id: string;
  readonly kind: string;
  readonly occurred_at: string | null;
}

export interface Raw {
  readonly ref: string;
  readonly received_at: string;
  readonly code: string;
  readonly install: string;
  readonly raw: string;
}

/** A photo that came whole and that nobody can see. */
export interface Unseen {
  readonly sha256: string;
  readonly why: string;
  readonly came_at: string;
  readonly records: readonly { readonly id: string; readonly about: readonly string[] }[];
}

export interface NoticeView {
  readonly id?: string;
  readonly code: string;
  readonly subject: string;
  readonly params: Readonly<Record<string, unknown>>;
  readonly settled_by?: string | null;
}

export interface Looks extends Omit<NeedsALook, "kept_raw" | "set_aside" | "photos" | "notices"> {
  readonly unconfirmed: readonly unknown[];
  readonly kept_raw: readonly Raw[];
  readonly set_aside: readonly Aside[];
  readonly photos: readonly Unseen[];
  readonly notices: readonly NoticeView[];
}

/** What came under no consignment that the office has typed. */
export interface Arrived extends Group {
  readonly arrived: readonly string[];
  readonly stated: number | null;
}

export interface Item {
  readonly subject: string;
  readonly label: string | null;
  readonly doubt: Doubt;
}

/** Every doubt by itself: what shuts a release first. Who wrote without a PIN is told elsewhere. */
export function itemsOf(looks: Looks): Item[] {
  return looks.doubts
    .flatMap(({ subject, label, doubts }) => doubts.map((doubt) => ({ subject, label, doubt })))
    .filter(({ doubt }) => doubt.code !== "unconfirmed")
    .sort((a, b) => Number(a.doubt.weight === "note") - Number(b.doubt.weight === "note"));
}
