"""The life of a consignment so far as one bed, with its clock.

The textures are those of the phone's bed line (`frontend/src/parts/bed.ts`): what does not count is
hatched one way, quarantine both ways as insect screen is, what grows on is stippled.
"""

from datetime import date

from nursery.paper import svg
from nursery.paper.release_voice import Facts, local_day
from nursery.paper.telling import Voice

TOP, TALL = 24, 30
SCREEN, MEDIUM = 6.0, 5.8
LEAST = 2.0


def drawn(facts: Facts, voice: Voice) -> dict[str, str]:
    """Return the drawing and the same in words; both are empty where no clock runs."""
    known = [one for one in facts["clocks"] if one["started_on"] is not None]
    began = [local_day(one["began_at"], voice) for one in facts["batches"] if one["began_at"]]
    if not known or not began:
        return {"svg": "", "alt": ""}
    clock = max(known, key=lambda one: str(one["started_on"]))
    start, on = date.fromisoformat(clock["started_on"]), date.fromisoformat(facts["on"])
    first = min(date.fromisoformat(min(began)), start)
    earliest = None if clock["earliest"] is None else date.fromisoformat(clock["earliest"])
    end = max(on, start) if earliest is None else earliest
    span = max(1, (max(end, on) - first).days)

    def x(day: date) -> float:
        return round((day - first).days / span * svg.WIDTH, 1)

    bed = [(first, start, "lost"), (start, end, "quarantine"), (end, on, "grow")]
    parts = [_part(x(a), x(b), what) for a, b, what in bed if x(b) - x(a) >= LEAST]
    above = [(x(start), voice.say("release_file.starts_again", on=start.isoformat()))]
    lost, counts = (start - first).days, (end - start).days
    below = [(x(first), voice.say("release_file.days_lost", n=lost))] if lost else []
    below.append((x(start), voice.say("release_file.days_count", n=counts)))
    if earliest is not None:
        above.append((x(end), voice.say("release_file.ends_on", n=counts, on=earliest.isoformat())))
        parts.append(svg.path(f"M{x(end)} {TOP - 5}v10", 2))
    parts += [svg.row_of_words(above, TOP - 9, bold=True)]
    parts += [svg.row_of_words(below, TOP + TALL + 17), _plumb(x(on))]
    said = "; ".join(text for _, text in (*below, *above))
    return {"svg": svg.picture(TOP + TALL + 24, parts), "alt": said}


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
