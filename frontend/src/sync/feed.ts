/** Reading lines of the feed, as the office streams them. */
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

export function parsed(line: string): FeedLine {
  return JSON.parse(line) as FeedLine;
}

/** Some lines gathered into one step. Lines that the copy cannot use are passed by. */
export class Gathered {
  readonly lines: CopyLine[] = [];
  readonly rows: CopyRow[] = [];
  readonly gone: { type: string; id: string }[] = [];
  readonly released: string[] = [];
  seq: number | null = null;
  count = 0;

  add(raw: string, line: FeedLine): void {
    this.seq = line.seq;
    this.count += 1;
    if (line.t === "entry" && line.e !== null) {
      this.lines.push({
        id: line.id,
        about: line.e["about"] as string[],
        author: line.e["author"] as string,
        at: line.e["occurred_at"] as string,
        text: textOf(raw),
        seq: line.seq,
        setAside: line.set_aside ?? false,
      });
    } else if (line.t === "ref" && line.e !== null) {
      this.rows.push({ type: line.type, id: line.id, rev: line.rev, body: line.e });
    } else if (line.t === "gone") {
      this.gone.push({ type: line.type, id: line.id });
    } else if (line.t === "mark" && line.type === "release") {
      this.released.push(line.id);
    }
  }

  step(cursor: Cursor | null): Advance {
    const { lines, rows, gone, released } = this;
    return { lines, rows, gone, released, cursor };
  }
}
