/** What the tabs of this phone tell each other: saved in one, sent by another, shown in all. */
import type { App } from "../net/sync";
import type { CopyName } from "../shelf/row";
import type { Standing } from "./pace";

/** The copy changed: these subjects, or all of it; rows of reference data; the outlook. */
export interface Changed {
  readonly t: "changed";
  readonly copy: CopyName;
  readonly subjects: readonly string[] | null;
  readonly rows: boolean;
  readonly outlook: boolean;
}

export type News =
  /** Whoever sends now is alive. */
  | { readonly t: "beat" }
  /** Nobody sends any more. */
  | { readonly t: "idle" }
  /** Somebody has a round to go: whoever only glances gives way. */
  | { readonly t: "wants" }
  /** A glance is over; `good` where the office answered it as it should. */
  | { readonly t: "glance"; readonly good: boolean }
  | Changed
  | { readonly t: "saved"; readonly subjects: readonly string[] }
  | {
      readonly t: "round";
      readonly standing: Standing;
      readonly retryAfterS: number | null;
      /** When the office last answered with the epoch of this phone's book. */
      readonly heardAt: string | null;
    }
  | { readonly t: "clock"; readonly offset: number }
  | { readonly t: "app"; readonly app: App }
  | { readonly t: "joined" }
  | { readonly t: "wiped" };

export interface Hub {
  tell(news: News): void;
  on(listener: (news: News) => void): void;
}

/** One end of the channel. What it tells comes out of all other ends, not of itself. */
export function hub(name = "phone"): Hub {
  const channel = new BroadcastChannel(name);
  return {
    tell: (news) => {
      channel.postMessage(news);
    },
    on: (listener) => {
      channel.addEventListener("message", (event: MessageEvent<News>) => {
        listener(event.data);
      });
    },
  };
}
