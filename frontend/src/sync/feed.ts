/** Reading lines of the feed, as the office streams them. */
import { NoNet } from "../net/sync";
import type { Advance, CopyLine, CopyRow, Cursor } from "../shelf/copy";

interface FeedLine {
  readonly t: "begin" | "entry" | "ref" | "gone" | "mark" | "end";
  readonly seq: number;
  readonly id: string;
  readonly type: string;
  readonly rev: number;
  readonly set_aside?: boolean;
  readonly epoch: string;
  readonly head: number;
  readonly server_time: string;
  readonly snapshot?: boolean;
  readonly next: string;
  readonly more: boolean;
  readonly count: number;
  readonly e: Readonly<Record<string, unknown>> | null;
}

/** The text of an entry's line as it was sent: the line holds it byte for byte. */
export function textOf(line: string): string {
  return line.slice(line.indexOf(',"e":') + 5, line.lastIndexOf("}"));
}

/** @throws NoNet where the line was cut on its way. */
export function parsed(line: string): FeedLine {
  try {
    return JSON.parse(line) as FeedLine;
  } catch {
    throw new NoNet();
  }
}

/** Some lines gathered into one step. Lines that the copy cannot use are passed by. */
export class Gathered {
  readonly lines: CopyLine[] = [];
  readonly rows: CopyRow[] = [];
  readonly gone: { type: string; id: string }[] = [];
  readonly released: string[] = [];
  readonly erased: string[] = [];
  readonly own: CopyLine[] = [];
  readonly #install: string;
  /** What lines are about, each once: what is the same array is written once. */
  readonly #abouts = new Map<string, readonly string[]>();
  seq: number | null = null;
  count = 0;

  /** @param install whose lines are this phone's own. */
  constructor(install: string) {
    this.#install = install;
  }

  /** How many rows the copy writes for it, or nearly: that is what costs, not the lines. */
  get load(): number {
    return this.#abouts.size + this.rows.length + this.gone.length;
  }

  add(raw: string, line: FeedLine): void {
    this.seq = line.seq;
    this.count += 1;
    if (line.t === "entry" && line.e !== null) {
      this.#entry(raw, line, line.e);
    } else if (line.t === "ref" && line.e !== null) {
      this.rows.push({ type: line.type, id: line.id, rev: line.rev, body: line.e });
    } else if (line.t === "gone") {
      this.gone.push({ type: line.type, id: line.id });
    } else if (line.t === "mark" && line.type === "release") {
      this.released.push(line.id);
    } else if (line.t === "mark" && line.type === "erased") {
      this.erased.push(line.id);
    }
  }

  #entry(raw: string, line: FeedLine, e: Readonly<Record<string, unknown>>): void {
    const { id, seq } = line;
    const [author, at] = [e["author"], e["occurred_at"]];
    const about = this.#about(e["about"] as readonly string[]);
    const entry = { id, seq, about, author, at, text: textOf(raw) } as CopyLine;
    this.lines.push(line.set_aside ? { ...entry, setAside: true } : entry);
    if (e["install"] === this.#install) this.own.push(entry);
  }

  #about(about: readonly string[]): readonly string[] {
    const key = about.join(" ");
    const same = this.#abouts.get(key);
    if (!same) this.#abouts.set(key, about);
    return same ?? about;
  }

  step(cursor: Cursor | null): Advance {
    const { lines, rows, gone, released, erased } = this;
    return { lines, rows, gone, released, erased, cursor };
  }
}
