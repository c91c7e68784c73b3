"""Thirty tagged trees of the story, measured again and again: height, collar and hard flushes.

How a tree grows is drawn once from a seed, so that every telling measures the same trees. All of it
is invented.
"""

from datetime import date
from hashlib import sha256
from statistics import NormalDist

from nursery.ops.demo import names as n
from nursery.ops.demo.day_0 import w1
from nursery.ops.demo.script import Act, Day, Synced

SEED = 118
# Five trees of each tray. After July those of T3 and T5 that lost their label are measured on.
TAGGED = {tray: tuple(f"{tray[-1]}{i}" for i in range(1, 6)) for tray in n.SPARED}
ARRIVED = date(2031, 3, 3)
# Height in cm on arrival and its growth a week, collar in mm likewise: mean and spread of trees.
HEIGHT, HEIGHT_A_WEEK = (15.0, 1.6), (0.78, 0.06)
COLLAR, COLLAR_A_WEEK = (3.6, 0.3), (0.105, 0.007)
WEEKS_A_FLUSH = 17


def measured(at: str, tray: str, on: date) -> Act:
    """Return the measuring of a tray's tagged trees."""
    weeks = (on - ARRIVED).days / 7
    return w1(at, "measured", tray, plants=[_tree(tag, weeks) for tag in TAGGED[tray]])


def _tree(tag: str, weeks: float) -> dict[str, object]:
    height, collar = _drawn(tag, "height", HEIGHT), _drawn(tag, "collar", COLLAR)
    height += weeks * _drawn(tag, "height a week", HEIGHT_A_WEEK)
    collar += weeks * _drawn(tag, "collar a week", COLLAR_A_WEEK)
    return {
        "tag": tag,
        "height_cm": round(height * 2) / 2,
        "collar_mm": round(collar, 1),
        "flushes": int(weeks / WEEKS_A_FLUSH),
    }


def _drawn(tag: str, what: str, around: tuple[float, float]) -> float:
    """Return a tree's own figure, out of all trees' mean and spread: the same in every telling."""
    rank = int.from_bytes(sha256(f"{SEED} {tag} {what}".encode()).digest()[:6]) + 0.5
    return NormalDist(*around).inv_cdf(rank / 2**48)


def measuring(number: float, on: date) -> Day:
    """Return a day on which all tagged trees are measured."""
    acts = tuple(measured(f"13:{10 + 8 * i:02d}", tray, on) for i, tray in enumerate(TAGGED))
    return Day(number, on, (*acts, Synced("14:10", n.ROOM_PHONE)))
