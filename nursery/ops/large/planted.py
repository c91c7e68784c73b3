"""Planting by the hole, a tap each, and the counts of the year after it."""

from datetime import date, timedelta
from typing import Any

from nursery.ops.large import frame
from nursery.ops.large.life import Life

ROW = 20
FROM = 6 * 60.0
# When survivors are counted, in months after planting, and of a hundred how many died since.
COUNTS = ((1, 2), (3, 2), (6, 1), (12, 1))
MONTH = timedelta(days=30)
DAY_LONG = 9 * 60
SPARED = 2
TAP = (0.4, 0.9)


class Planted(Life):
    """Plants that leave for the field."""

    @property
    def block(self) -> str:
        return f"terrace-{self.number}"

    def plant(self, day: date) -> None:
        """Carry the batches out, walk the rows with a tap for each hole, count for a year."""
        self.begin(day, FROM - 40)
        self._lay_out(sum(max(0, self.alive[batch] - SPARED) for batch in self.standing))
        at = 0
        self.stood: dict[int, str] = {}
        for batch in self.standing:
            self.begin(self.day, self.clock + 2)
            many = max(0, self.alive[batch] - SPARED)
            out = {"way": "out", "plants": many + SPARED, "block": self.block}
            self.write("carried", (batch, self.block), out)
            for _ in range(many):
                at += 1
                self._tap("planted", batch, at)
                self.stood[at] = batch
            back = {**out, "way": "back", "plants": SPARED}
            self.write("carried", (batch, self.block), back)
            self.alive[batch] -= many
            if self.clock > FROM + DAY_LONG:
                self.begin(self.day + timedelta(days=1), FROM)
        first = self.day
        self.dead: set[int] = set()
        for months, percent in COUNTS:
            self.survey(first + months * MONTH, percent)
            if months == COUNTS[0][0]:
                self.refill()
                self.send(self.day + timedelta(days=self.draw.randint(3, 20)))

    def _tap(self, kind: str, batch: str, at: int) -> None:
        row = str((at - 1) // ROW + 1)
        body = {"block": self.block, "row": row, "positions": [str(at)]}
        self.write(kind, (batch, f"{self.block}.{row}"), body, pace=TAP)

    def _lay_out(self, holes: int) -> None:
        full, over = divmod(holes, ROW)
        sizes = [ROW] * full + ([over] if over else [])
        place = {"name": f"Terrace {self.number}", "kind": "terrace", "parent": frame.FIELD}
        short = {"short": f"T{self.number}", "holes": holes, "walk": self.number}
        self.type("place", self.block, place | short | {"since": self.day.isoformat()})
        rows = [
            {"number": n, "first": (n - 1) * ROW + 1, "holes": size}
            for n, size in enumerate(sizes, start=1)
        ]
        spacing = {"in_row_m": 3.0, "between_m": 2.0, "crop": self.crop}
        self.type("layout", self.block, {**spacing, "rows": rows, "count_months": [1, 3, 6, 12]})

    def survey(self, day: date, percent: int) -> None:
        """Walk every row, and say of each position how its plant stands."""
        self.begin(day, FROM + 60)
        for at in sorted(self.stood.keys() - self.dead):
            if self.chance(percent / 100):
                self.dead.add(at)
        for start in range(0, len(self.stood), ROW):
            row = start // ROW + 1
            some = range(start + 1, min(start + ROW, len(self.stood)) + 1)
            body = {"block": self.block, "row": str(row), "seen": [self._seen(at) for at in some]}
            self.clock += 4
            self.write("surveyed", f"{self.block}.{row}", body)
            if self.chance(0.05):
                self.photo(f"{self.block}.{row}", "row")

    def _seen(self, at: int) -> dict[str, Any]:
        return {"position": str(at), "state": "dead" if at in self.dead else "alive"}

    def refill(self) -> None:
        """Put a spare into each gap, as long as there are spares."""
        self.begin(self.day + timedelta(days=3), FROM + 120)
        for at in sorted(self.dead):
            batch = next((one for one in self.standing if self.alive[one] > 0), None)
            if batch is None:
                return
            self._tap("refilled", batch, at)
            self.alive[batch] -= 1
            self.dead.discard(at)

    def send(self, day: date) -> None:
        """Whatever is left goes to neighbours, batch by batch."""
        self.begin(day, FROM + 180, frame.GROWER)
        for batch in self.standing:
            share = {"id": batch, "count": self.alive[batch]}
            paper = f"MV-{self.number}-{batch.rpartition('-')[2]}"
            body = {"receiver": self.draw.choice(frame.RECEIVERS), "plants": [share]}
            self.write("sent", batch, body | {"paper": paper})
            self.alive[batch] = 0
