"""What a pull of 50 000 entries costs: `python -m tests.bench.bench_pull`.

Against the raw driver reading the same rows and orjson writing them, by turns in one run; the goal
is at least 0.6 of that. Also the bytes of an entry on the wire, packed as the API packs it.
"""

# ruff: noqa: PLC0415  Django is loaded once the database to measure is there

import sys
from collections.abc import Callable

import orjson

from tests.bench import fresh, table, wire
from tests.bench.bench_append import NOW, texts_of, timed
from tests.phone import Writer

GOAL = 0.6
ENTRIES = 50_000
ROUNDS = 5


def main() -> int:
    with fresh.database() as engine:
        fill()
        measure(engine)
    return 0


def fill() -> None:
    from nursery.services import in_bulk, nurseries

    nurseries.begin("veshmere", "Veshmere", "Etc/GMT-10")
    texts = texts_of(Writer("a"), ENTRIES, 200, "b")
    in_bulk.write("veshmere", [in_bulk.Pushed("d-a", "i-a", texts, NOW)])


def pulled(page: list[bytes]) -> Callable[[], None]:
    """Return the work of pulling everything into `page`, as a phone would, page by page."""
    from nursery.services import pull

    epoch = pull.epoch("veshmere")

    def ours() -> None:
        page.clear()
        cursor = pull.Cursor(epoch, 0)
        while True:
            page.extend(pull.after("veshmere", cursor, pull.MOST, NOW))
            end = orjson.loads(page[-1])
            cursor = pull.Cursor(epoch, cursor.seq + end["count"])
            if not end["more"]:
                return

    return ours


def raw() -> None:
    """What nobody could do without: the rows as the driver gives them, and JSON of them."""
    from django.db import connection

    from nursery.store.scope import scope

    # In the scope, since PostgreSQL's policies show no row outside of it.
    with scope("veshmere") as book, connection.cursor() as cursor:
        sql = "SELECT seq, ident, text FROM feed WHERE nursery_id = %s ORDER BY seq"
        cursor.execute(sql, [book.key])
        rows = cursor.cursor.fetchall()
    assert len(rows) == ENTRIES
    for seq, ident, text in rows:
        body = {"t": "entry", "seq": seq, "id": ident, "e": orjson.Fragment(text)}
        orjson.dumps(body)


def measure(engine: str) -> None:
    page: list[bytes] = []
    ours = pulled(page)
    times: dict[str, list[float]] = {"ours": [], "raw": []}
    for _ in range(ROUNDS):
        times["ours"].append(timed(ours))
        times["raw"].append(timed(raw))
    mine, theirs = min(times["ours"]), min(times["raw"])
    print(engine)
    table.note(
        "pull of 50 000 entries", f"{GOAL} of raw driver + orjson",
        f"{mine:.2f} s, raw {theirs:.2f} s: {theirs / mine:.2f}", reached=theirs / mine >= GOAL,
    )  # fmt: skip
    rate = ENTRIES / mine
    table.note("entries out of the server", "20000/s", f"{rate:.0f}/s", reached=rate >= 20_000)
    best, *rest = (wire.packed(page, coding) / ENTRIES for coding in wire.CODINGS)
    others = ", ".join(
        f"{size:.1f} {name}" for size, name in zip(rest, wire.CODINGS[1:], strict=True)
    )
    plain = sum(map(len, page)) / ENTRIES
    table.note(
        "bytes of an entry on the wire", "60",
        f"{best:.1f} {wire.CODINGS[0]}, {others}, {plain:.0f} plain",
        reached=best <= 60,
    )  # fmt: skip


if __name__ == "__main__":
    sys.exit(main())
