"""The life of a consignment so far as one bed, with its clock.

The textures are those of the phone's bed line (`frontend/src/parts/bed.ts`): what does not count is
hatched one way, quarantine both ways as insect screen is, what grows on is stippled.
"""

from datetime import date
from typing import NamedTuple

from nursery.paper import svg
from nursery.paper.release_voice import Facts, local_day
from nursery.paper.telling import Voice

TOP, TALL = 24, 30
SCREEN, MEDIUM = 6.0, 5.8
LEAST = 2.0


class _Life(NamedTuple):
    """The days that are drawn; `earliest` is None where nobody can say when quarantine ends."""

    first: date
    start: date
    earliest: date | None
    on: date
    weeks: list[date]
    full: list[date]

    @property
    def end(self) -> date:
        return self.earliest or max(self.on, self.start)

    @property
    def grown(self) -> date:
        return max([self.on, *self.weeks[:1]])

    def x(self, day: date) -> float:
        last = max(self.end, self.grown, *self.weeks, *self.full)
        return round((day - self.first).days / max(1, (last - self.first).days) * svg.WIDTH, 1)


def drawn(facts: Facts, voice: Voice) -> dict[str, str]:
    """Return the drawing and the same in words; both are empty where no clock runs."""
    life = _life(facts, voice)
    if life is None:
        return {"svg": "", "alt": ""}
    bed = [
        (life.first, life.start, "lost"),
        (life.start, life.end, "quarantine"),
        (life.end, life.grown, "grow"),
    ]
    across = [(life.x(a), life.x(b), what) for a, b, what in bed]
    parts = [_part(left, right, what) for left, right, what in across if right - left >= LEAST]
    if life.earliest is not None:
        parts.append(svg.path(f"M{life.x(life.end)} {TOP - 5}v10", 2))
    if life.weeks:
        parts.append(_weeks(*map(life.x, life.weeks)))
    parts += [_knot(life.x(day)) for day in life.full]
    above, below = _above(life, voice), _below(life, voice)
    parts += [svg.row_of_words(above, TOP - 9, bold=True)]
    parts += [svg.row_of_words(sorted(below), TOP + TALL + 17), _plumb(life.x(life.on))]
    said = "; ".join(text for _, text in (*below, *above))
    return {"svg": svg.picture(TOP + TALL + 24, parts), "alt": said}


def _life(facts: Facts, voice: Voice) -> _Life | None:
    known = [one for one in facts["clocks"] if one["started_on"] is not None]
    began = [local_day(one["began_at"], voice) for one in facts["batches"] if one["began_at"]]
    if not known or not began:
        return None
    clock = max(known, key=lambda one: str(one["started_on"]))
    start, told = date.fromisoformat(clock["started_on"]), facts["season"]
    return _Life(
        first=min(date.fromisoformat(min(began)), start),
        start=start,
        earliest=None if clock["earliest"] is None else date.fromisoformat(clock["earliest"]),
        on=date.fromisoformat(facts["on"]),
        weeks=[date.fromisoformat(day) for day in told["weeks"] or ()],
        full=[date.fromisoformat(told["pots_full"])] if told["pots_full"] else [],
    )


Words = list[tuple[float, str]]


def _above(life: _Life, voice: Voice) -> Words:
    told = [(life.start, voice.say("release_file.starts_again", on=life.start.isoformat()))]
    if life.earliest is not None:
        counts, on = (life.end - life.start).days, life.earliest.isoformat()
        told.append((life.end, voice.say("release_file.ends_on", n=counts, on=on)))
    return [(life.x(day), text) for day, text in told]


def _below(life: _Life, voice: Voice) -> Words:
    lost, counts = (life.start - life.first).days, (life.end - life.start).days
    told = [(life.first, voice.say("release_file.days_lost", n=lost))] if lost else []
    told.append((life.start, voice.say("release_file.days_count", n=counts)))
    if life.weeks:
        start, end = (day.isoformat() for day in life.weeks)
        told.append((life.weeks[0], voice.say("release_file.plant", start=start, end=end)))
    told += [(day, voice.say("bed.full_on", on=day.isoformat())) for day in life.full]
    return [(life.x(day), text) for day, text in told]


def _weeks(left: float, right: float) -> str:
    """The field, furrowed; its upper edge stands open between two posts."""
    lines = "".join(f"M{left} {TOP + y}H{right}" for y in range(6, TALL, 7))
    sides = f"M{left} {TOP}V{TOP + TALL}H{right}V{TOP}M{left} {TOP}v-5M{right} {TOP}v-5"
    return svg.path(lines, 0.8) + svg.path(sides, 1.5)


def _knot(at: float) -> str:
    """The day on which pots are full: a loop of string that closes over the bed."""
    middle = TOP + TALL / 2
    loop = f"L{at + 4:.1f} {middle - 4}a4 4 0 1 0 -8 0L{at + 6:.1f} {middle + 6}"
    d = f"M{at - 6:.1f} {middle + 6}{loop}"
    return svg.path(d, 5, "style='stroke:#fff'") + svg.path(d, 2.2)


def _plumb(day: float) -> str:
    """Today: a line that hangs through the bed, with its weight."""
    at = min(max(day, LEAST), svg.WIDTH - LEAST)
    weight = f"<circle cx='{at}' cy='{TOP + TALL + 2}' r='2.4' fill='#000'/>"
    return svg.path(f"M{at} {TOP - 4}v{TALL + 6}", 2.5) + weight


def _part(left: float, right: float, what: str) -> str:
    frame = svg.box(left + 0.75, TOP, max(1, right - left - 1.5), TALL, "stroke-width='1.5'")
    if what == "grow":
        return svg.path(_stipple(left, right), 1.6, "stroke-linecap='round'") + frame
    step, ways = (SCREEN * 1.7, (1,)) if what == "lost" else (SCREEN, (1, -1))
    many = int((right - left + TALL) / step) + 1
    strokes = [
        _stroke(left - TALL + at * step, left, right, way) for way in ways for at in range(many)
    ]
    return svg.path("".join(strokes), 0.8) + frame


def _stroke(at: float, left: float, right: float, way: int) -> str:
    """Return a slanting stroke, cut where it leaves its part of the bed."""
    begin, end = max(at, left), min(at + TALL, right)
    if end <= begin:
        return ""
    low, high = (TOP + TALL - (one - at) for one in (begin, end))
    if way < 0:
        low, high = (2 * TOP + TALL - one for one in (low, high))
    return f"M{begin:.1f} {low:.1f}L{end:.1f} {high:.1f}"


def _stipple(left: float, right: float) -> str:
    dots = []
    for row in range(int(TALL / MEDIUM)):
        at = left + (MEDIUM / 2 if row % 2 == 0 else MEDIUM)
        many = max(0, int((right - 1 - at) / MEDIUM) + 1)
        y = TOP + MEDIUM / 2 + row * MEDIUM
        dots += [f"M{at + one * MEDIUM:.1f} {y:.1f}h.01" for one in range(many)]
    return "".join(dots)
