"""The vocabulary: one frozen dataclass a kind, versions, and how an old body becomes a new one.

A kind is a past participle; what users read for it stands in the word catalogue. A version is
added, never changed: `UPCASTS[kind, v]` turns a body of version v into one of v + 1.
"""

from collections.abc import Callable, Mapping
from typing import Any

from nursery.domain.kinds import common, count, field, health, law, life, place
from nursery.domain.kinds.shape import Misfit, reader_of

Body = Any

KINDS: Mapping[str, type] = {
    "received": life.Received,
    "taken_on": life.TakenOn,
    "sown": life.Sown,
    "emerged": life.Emerged,
    "pricked": life.Pricked,
    "stuck": life.Stuck,
    "worked": life.Worked,
    "rooted": life.Rooted,
    "took": life.Took,
    "potted": life.Potted,
    "split": life.Split,
    "mixed": life.Mixed,
    "joined": life.Joined,
    "moved": life.Moved,
    "relabelled": life.Relabelled,
    "pruned": life.Pruned,
    "graded": life.Graded,
    "measured": life.Measured,
    "fed": life.Fed,
    "counted": count.Counted,
    "lost": count.Lost,
    "settled": count.Settled,
    "sent": count.Sent,
    "returned": count.Returned,
    "shown": count.Shown,
    "disposed": count.Disposed,
    "looked": health.Looked,
    "inspected": health.Inspected,
    "found": health.Found,
    "sampled": health.Sampled,
    "resulted": health.Resulted,
    "treated": health.Treated,
    "told": health.Told,
    "opened": law.Opened,
    "ordered": law.Ordered,
    "accepted": law.Accepted,
    "released": law.Released,
    "stepped": life.Stepped,
    "plugged": life.Plugged,
    "wilted": life.Wilted,
    "carried": field.Carried,
    "planted": field.Planted,
    "left_empty": field.LeftEmpty,
    "surveyed": field.Surveyed,
    "refilled": field.Refilled,
    "thinned": field.Thinned,
    "entered": place.Entered,
    "left": place.Left,
    "read": place.Read,
    "trapped": place.Trapped,
    "breached": place.Breached,
    "repaired": place.Repaired,
    "described": place.Described,
    "cleaned": place.Cleaned,
    "emptied": place.Emptied,
    "readied": place.Readied,
    "watered": place.Watered,
    "forecast": place.Forecast,
    "dosed": place.Dosed,
    "skipped": common.Skipped,
    "booked": common.Booked,
    "noted": common.Noted,
    "photographed": common.Photographed,
    "withdrawn": common.Withdrawn,
    "signed": common.Signed,
    "traced": common.Traced,
}

VERSIONS: Mapping[str, int] = dict.fromkeys(KINDS, 1)

UPCASTS: Mapping[tuple[str, int], Callable[[Mapping[str, Any]], Mapping[str, Any]]] = {}

_READERS = {kind: reader_of(cls) for kind, cls in KINDS.items()}


def read(kind: str, v: int, raw: Mapping[str, Any]) -> Body:
    """Return the body of `kind` in version `v`, brought up to the newest version. Never raises."""
    newest = VERSIONS.get(kind)
    if newest is None:
        return common.Unread("kind")
    if v > newest:
        return common.Unread("version")
    for version in range(v, newest):
        raw = UPCASTS[kind, version](raw)
    try:
        return _READERS[kind](raw)
    except Misfit as misfit:
        return common.Unread(str(misfit))
