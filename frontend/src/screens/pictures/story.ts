/**
 * The photos of one batch in order of time: what its records tell of each, what this phone holds of
 * it, and what the office says is there.
 */
import type { Line } from "../../log/history";
import { apart } from "../../log/days";
import type { components } from "../../net/api";
import type { PhotoFact } from "../../shelf/photos";
import type { Key } from "../../words/catalogue";
import { local } from "../../words/local";
import { howFar } from "../photo/how-far";
import { OF_A_BATCH } from "../photo/shots";

/** One photo as the office tells of it. */
export type Told = Pick<
  components["schemas"]["BatchPhoto"],
  "photo" | "sha256" | "state" | "came_at" | "sizes"
>;

export interface Picture {
  /** The record that tells of it, or the name of one that no record tells of. */
  readonly id: string;
  readonly photo: string;
  readonly sha256: string;
  /** When its record was written; of one without a record, when it was taken. */
  readonly at: string;
  readonly author: string | null;
  /** What it is asked to show, or the words of whoever wrote it. */
  readonly shows: string | null;
  /** The kinds of the records that name it, or that were saved with it. */
  readonly acts: readonly string[];
  readonly width: number;
  readonly height: number;
  /** Its record was taken back: it is told, and not shown. */
  readonly withdrawn: boolean;
  /** Who took its record back. */
  readonly by: string | null;
  readonly fact: PhotoFact | null;
  readonly told: Told | null;
}

export type Pair = readonly [Picture, Picture];

/** Oldest first. `facts` are the photos of this phone, whatever they are of. */
export function storyOf(
  subject: string,
  lines: readonly Line[],
  facts: readonly PhotoFact[],
  told: readonly Told[],
): Picture[] {
  const held = new Map(facts.map((fact) => [fact.id, fact]));
  const there = new Map(told.map((one) => [one.photo, one]));
  const recorded = lines
    .filter(({ reading }) => reading.kind === "photographed" && !reading.unread)
    .map((line) => {
      const photo = textOf(line.reading.body["photo"]) ?? "";
      return pictureOf(line, lines, held.get(photo) ?? null, there.get(photo) ?? null);
    });
  const loose = facts.filter((fact) => fact.entry === null && fact.subject === subject);
  return [...recorded, ...loose.map(looseOf)].sort((a, b) =>
    a.at === b.at ? order(a.id, b.id) : order(a.at, b.at),
  );
}

function pictureOf(
  line: Line,
  lines: readonly Line[],
  fact: PhotoFact | null,
  told: Told | null,
): Picture {
  const { body, occurredAt } = line.reading;
  return {
    id: line.line,
    photo: textOf(body["photo"]) ?? "",
    sha256: textOf(body["sha256"]) ?? "",
    at: occurredAt,
    author: line.by,
    shows: textOf(body["shows"]),
    acts: actsOf(line, lines),
    width: Number(body["width"]),
    height: Number(body["height"]),
    withdrawn: line.withdrawn,
    by: line.changes.find(({ withdrawn }) => withdrawn)?.author ?? null,
    fact,
    told,
  };
}

/** A picture that a form has taken and no record names yet. */
function looseOf(fact: PhotoFact): Picture {
  const { id, sha256, takenAt, shows, width, height } = fact;
  return {
    ...{ id, photo: id, sha256, at: takenAt, author: null, shows, acts: [], width, height },
    ...{ withdrawn: false, by: null, fact, told: null },
  };
}

/** One tap saves its records in one instant: those beside a photo are what it was taken for. */
function actsOf(line: Line, lines: readonly Line[]): string[] {
  const { reading, by } = line;
  const photo = reading.body["photo"];
  const beside = lines.filter(
    (other) =>
      !other.withdrawn &&
      other.reading.kind !== "photographed" &&
      (names(other.reading.body, photo) ||
        (other.by === by && other.reading.occurredAt === reading.occurredAt)),
  );
  return [...new Set(beside.map(({ reading: { kind } }) => kind))];
}

function names(body: Readonly<Record<string, unknown>>, photo: unknown): boolean {
  const {
    photo: one,
    photos,
    sheet,
  } = body as {
    readonly photo?: unknown;
    readonly photos?: unknown;
    readonly sheet?: { readonly photo?: unknown };
  };
  return (
    one === photo || sheet?.photo === photo || (Array.isArray(photos) && photos.includes(photo))
  );
}

/** What became of it, where that is one plain sentence of the catalogue. */
export function stateOf({ withdrawn, fact, told }: Picture): Key {
  if (withdrawn) return "pictures.taken_back";
  if (told?.state === "unreadable") return "pictures.unreadable";
  if (fact) return fact.refused === "missing" ? "pictures.lost_here" : howFar(fact);
  if (told === null) return "pictures.elsewhere";
  if (told.state === "here") return "pictures.here";
  return told.came_at === null ? "pictures.waiting" : "pictures.drawing";
}

/** Whether there is something to look at, here or at the office. */
export function isSeen({ withdrawn, fact, told }: Picture): boolean {
  const mine = fact !== null && fact.refused !== "missing";
  return !withdrawn && (mine || told?.state === "here");
}

/** By the nursery's days, in the order in which they come. */
export function byDay(pictures: readonly Picture[], zone: string): [day: string, Picture[]][] {
  const days = new Map<string, Picture[]>();
  for (const one of pictures) {
    const { day } = local(one.at, zone);
    days.set(day, [...(days.get(day) ?? []), one]);
  }
  return [...days];
}

/** The views of which there are two or more to see, those that the phone asks for first. */
export function viewsOf(pictures: readonly Picture[]): [view: string, pictures: Picture[]][] {
  const views = new Map<string, Picture[]>();
  for (const one of pictures.filter(isSeen)) {
    if (one.shows !== null) views.set(one.shows, [...(views.get(one.shows) ?? []), one]);
  }
  const asked: readonly string[] = OF_A_BATCH;
  const place = (view: string): number =>
    asked.includes(view) ? asked.indexOf(view) : asked.length;
  return [...views].filter(([, these]) => these.length > 1).sort(([a], [b]) => place(a) - place(b));
}

/**
 * The two that are put beside each other at first: the first and the last of one view, of different
 * days if there are such; without any view, of all.
 */
export function pairOf(pictures: readonly Picture[], zone: string): Pair | null {
  const pairs = viewsOf(pictures).map(([, these]) => endsOf(these));
  const [first = endsOf(pictures.filter(isSeen))] = pairs;
  return pairs.find((pair) => pair && between(pair, zone) > 0) ?? first;
}

export function endsOf(pictures: readonly Picture[]): Pair | null {
  const [first, last] = [pictures[0], pictures.at(-1)];
  return first && last && first !== last ? [first, last] : null;
}

/** Days from one to the other by the nursery's calendar. */
export function between([first, second]: Pair, zone: string): number {
  return apart(local(first.at, zone).day, local(second.at, zone).day);
}

function textOf(value: unknown): string | null {
  return typeof value === "string" && value !== "" ? value : null;
}

/** By code unit. */
function order(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
