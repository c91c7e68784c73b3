/** The first places of a nursery: itself, a room, a bench in it. */

export interface Wanted {
  readonly nursery: string;
  readonly kind: "room" | "house" | "block";
  readonly room: string;
  readonly bench: string;
  readonly since: string;
}

export interface Seat {
  readonly id: string;
  readonly body: Readonly<Record<string, unknown>>;
}

const SITE = "site";

/** Rows in the order in which they must be there; the nursery's own only the first time. */
export function seats(
  { nursery, kind, room, bench, since }: Wanted,
  taken: readonly string[],
  idOf: (name: string, more: readonly string[]) => string,
): readonly Seat[] {
  const roomId = idOf(room, []);
  const benchId = idOf(`${room} ${bench}`, [roomId]);
  const site = { id: SITE, body: { name: nursery, kind: "nursery", parent: null, since } };
  return [
    ...(taken.includes(SITE) ? [] : [site]),
    { id: roomId, body: { name: room, kind, parent: SITE, walk: 1, since } },
    {
      id: benchId,
      body: {
        name: bench,
        kind: kind === "block" ? "bed" : "bench",
        parent: roomId,
        walk: 1,
        since,
      },
    },
  ];
}
