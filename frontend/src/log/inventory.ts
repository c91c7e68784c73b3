/** The stock, put together by consignment and in the order in which people walk past it. */
import { byText } from "./entry";
import { pieces } from "./labels";

export interface Item {
  readonly id: string;
  readonly label: string | null;
  readonly place: string | null;
  readonly consignment: string | null;
  readonly crop: string | null;
  readonly alive: number | null;
}

export interface Room<T extends Item> {
  /** Null where nobody wrote where they stand. */
  readonly room: string | null;
  readonly alive: number;
  readonly items: readonly T[];
}

/** What came together, or else what is of one crop. */
export interface Group<T extends Item> {
  readonly key: string;
  readonly consignment: string | null;
  readonly crop: string | null;
  readonly alive: number;
  readonly count: number;
  readonly rooms: readonly Room<T>[];
}

export interface Walk {
  /** The room of a place. */
  readonly roomOf: (place: string) => string;
  /** A place's turn on the way through all places. */
  readonly turnOf: (place: string) => number;
}

interface Descended extends Item {
  readonly parents: readonly string[];
}

/** Let what was split, joined or lost its label stand with what it came from, where that is one. */
export function withTheirParents<T extends Descended>(items: readonly T[]): T[] {
  const byId = new Map(items.map((item) => [item.id, item]));
  const of = (item: T, seen: ReadonlySet<string>): string | null => {
    if (item.consignment !== null || seen.has(item.id)) return item.consignment;
    const parents = item.parents.map((id) => byId.get(id)).filter((one) => one !== undefined);
    return oneOf(parents.map((parent) => of(parent, new Set([...seen, item.id]))));
  };
  return items.map((item) => ({ ...item, consignment: of(item, new Set()) }));
}

/** Groups of consignments first, in the order of their names; then crops. */
export function groups<T extends Item>(items: readonly T[], walk: Walk): Group<T>[] {
  const found = new Map<string, T[]>();
  for (const item of items) {
    const { consignment, crop } = item;
    const key = consignment === null ? `2 ${crop ?? ""}` : `1 ${consignment}`;
    found.set(key, [...(found.get(key) ?? []), item]);
  }
  return [...found]
    .sort(([a], [b]) => byText(a, b))
    .map(([key, some]) => ({
      key,
      consignment: some[0]?.consignment ?? null,
      crop: oneOf(some.map(({ crop }) => crop)),
      alive: aliveOf(some),
      count: some.length,
      rooms: rooms(some, walk),
    }));
}

function rooms<T extends Item>(items: readonly T[], walk: Walk): Room<T>[] {
  const found = new Map<string | null, T[]>();
  const turn = ({ place }: T): number => (place === null ? Infinity : walk.turnOf(place));
  const sorted = [...items].sort((a, b) => {
    const [one, two] = [turn(a), turn(b)];
    return one === two ? byLabel(a, b) : one - two;
  });
  for (const item of sorted) {
    const room = item.place === null ? null : walk.roomOf(item.place);
    found.set(room, [...(found.get(room) ?? []), item]);
  }
  return [...found].map(([room, some]) => ({ room, alive: aliveOf(some), items: some }));
}

function aliveOf(items: readonly Item[]): number {
  return items.reduce((sum, { alive }) => sum + (alive ?? 0), 0);
}

function oneOf(crops: readonly (string | null)[]): string | null {
  const [first = null, ...others] = new Set(crops);
  return others.length === 0 ? first : null;
}

/** T3 before T21: figures in a label count as figures. */
export function byLabel(a: Item, b: Item): number {
  const [one, two] = [pieces(a.label ?? a.id), pieces(b.label ?? b.id)];
  for (let i = 0; i < Math.min(one.length, two.length); i += 1) {
    const [left = "", right = ""] = [one[i], two[i]];
    const order = bothFigures(left, right) ? Number(left) - Number(right) : byText(left, right);
    if (order !== 0) return order;
  }
  return one.length - two.length || byText(a.id, b.id);
}

function bothFigures(a: string, b: string): boolean {
  return /^\d+$/.test(a) && /^\d+$/.test(b);
}
