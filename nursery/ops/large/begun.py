"""Seed and cuttings: plants that begin here, in the shade house, under no permit."""

from datetime import timedelta

from nursery.ops.large.grown import Grown
from nursery.ops.large.life import MORNING, WEEK

CELLS = 72


class Begun(Grown):
    """Plants of this nursery's own."""

    def labels(self, least: int, most: int) -> list[str]:
        many = self.draw.randint(least, most)
        return [f"b{self.number}-{n}" for n in range(1, many + 1)]


class Seed(Begun):
    """A bed of seed that comes up, and is pricked out into trays."""

    def live(self) -> None:
        bed, seeds = f"b{self.number}-0", self.draw.randint(400, 700)
        self.begin(self.plan.starts, MORNING + 90)
        batch = {"id": bed, "label": bed.upper(), "crop": self.crop, "place": self.shade}
        body = {"batch": batch, "seeds": seeds, "seed_lot": f"own seed {self.plan.starts.year - 1}"}
        self.write("sown", bed, body)
        up = 0
        for days in (9, 13, 18, 25):
            up += round((seeds * 0.82 - up) * self.draw.uniform(0.4, 0.7))
            self.begin(self.plan.starts + timedelta(days=days), MORNING + 60)
            self.write("emerged", bed, {"total": up})
        self._prick_out(bed, up)
        self.grow(self.plan.starts + 6 * WEEK, self.draw.randint(18, 30))

    def _prick_out(self, bed: str, up: int) -> None:
        self.begin(self.plan.starts + timedelta(days=36), MORNING)
        trays = self.labels(5, 8)
        each = min(CELLS, up // len(trays))
        children = [
            {
                "id": tray, "label": tray.upper(), "count": each, "place": self.shade,
                "cells": CELLS, "container": "72-cell tray", "crop": self.crop,
            }
            for tray in trays
        ]  # fmt: skip
        left = up - each * len(trays)
        body = {"parents": [{"id": bed, "left": left}], "children": children}
        self.write("pricked", (bed, *trays), body)
        self.alive = {bed: left, **dict.fromkeys(trays, each)}
        self.lose(bed, left, "culled", cause="left over")


class Cuttings(Begun):
    """Trays of cuttings that root."""

    def live(self) -> None:
        self.begin(self.plan.starts, MORNING + 30)
        trays = self.labels(6, 10)
        for tray in trays:
            self.alive[tray] = self.draw.randint(40, 60)
            batch = {"id": tray, "label": tray.upper(), "crop": self.crop, "place": self.shade}
            cells = {"cells": CELLS, "container": "72-cell tray"}
            body = {"batch": batch | cells, "cuttings": self.alive[tray]}
            self.write("stuck", tray, body)
        for week, share in ((4, 0.3), (6, 0.6), (8, 0.8)):
            self.begin(self.plan.starts + week * WEEK + timedelta(days=1), MORNING + 90)
            for tray in self.standing:
                rooted = round(share * self.alive[tray])
                self.write("rooted", tray, {"total": rooted})
        for tray in self.standing:
            self.lose(tray, round(0.15 * self.alive[tray]), cause="did not root")
        self.photo(trays, "roots")
        self.grow(self.plan.starts + 9 * WEEK, self.draw.randint(14, 26))
