"""What a plant passport of a batch would say, on a sheet that is marked as a draft.

Elements A to D are those of EU 2016/2031 Annex VII and 2017/2313 (read in part). Only an authorised
operator or the authority completes and issues one; other countries ask for other papers. Nothing is
guessed: what the book does not say is a line to fill in by hand.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from nursery.domain import gates
from nursery.domain.batch import Batch
from nursery.domain.book import Book
from nursery.domain.gate import Act, Answer
from nursery.domain.record import Look
from nursery.paper import typeset
from nursery.paper.errors import LabelLacks
from nursery.paper.telling import Voice
from nursery.services import outlook, words
from nursery.services.errors import Unknown
from nursery.services.word_forms import House
from nursery.store.scope import scope

TEMPLATE = "passport.typ"
LETTERS = ("A", "B", "C", "D")


@dataclass(frozen=True, slots=True)
class Elements:
    """A to D; None where the book does not say. `origins` of a batch of several sources are all."""

    botanical: str | None
    cultivar: str | None
    traceability: str
    origins: tuple[str, ...]

    @property
    def origin(self) -> str | None:
        return "; ".join(self.origins) or None


def elements(book: Book, batch: Batch) -> Elements:
    """Return what the book says of a batch's passport; nobody types a registration number (B)."""
    crop = book.row("crop", batch.crop)
    came = consignments(book, batch)
    return Elements(
        None if crop is None else crop.botanical,
        None if crop is None else crop.cultivar,
        batch.label or batch.id,
        tuple(dict.fromkeys(one.origin for one in came if one.origin)),
    )


def consignments(book: Book, batch: Batch) -> list[Any]:
    """Return what a batch came with, or what it came from or may have come from did."""
    names = (batch.id, *book.ancestors(batch.id))
    line = (book.batches[name] for name in names if name in book.batches)
    found = dict.fromkeys(one.consignment for one in line if one.consignment)
    return [row for name in found if (row := book.row("consignment", name)) is not None]


def pdf(nursery: str, batch: str, now: datetime, language: str | None) -> bytes:
    """Return the draft as a PDF of one page, in a language or in the nursery's first.

    Raises:
        Unknown: no record names such a batch.
        LabelLacks: nothing traces to it, since it bears no label.
    """
    data = composed(nursery, batch, now, language)
    with scope(nursery) as rows:
        return typeset.pdf(TEMPLATE, data, now.astimezone(rows.zone).date())


def composed(nursery: str, ident: str, now: datetime, language: str | None) -> dict[str, Any]:
    """Return what the template is given."""
    with scope(nursery) as rows:
        book = outlook.read_book(rows)
        name, zone = rows.nursery.name, rows.zone
    batch = book.batches.get(ident)
    if batch is None or batch.began_at is None:
        raise Unknown("batch", ident[:64])
    if batch.label is None:
        raise LabelLacks(ident)
    own = next((row for _, row in book.rows_of("nursery")), None)
    spoken = (language, *(() if own is None else own.languages))
    on = book.day(now)
    house = House(zone.key, "." if own is None else own.decimal_mark.value, on)
    voice = Voice(next((one for one in spoken if one in words.languages()), "en"), house, {})
    say = voice.say
    return {
        "language": voice.language,
        "date": {"year": on.year, "month": on.month, "day": on.day},
        "title": say("passport.title", label=batch.label),
        "nursery": name if own is None else own.name,
        "draft": say("passport.draft"),
        "not_valid": say("passport.not_valid"),
        "against": list(_against(batch, book, now, voice)),
        "words": say("passport.words"),
        "flag": say("passport.flag"),
        "elements": _boxes(elements(book, batch), voice),
        "lacks": say("passport.lacks"),
        "facts": {"title": say("passport.facts"), "says": list(_facts(batch, book, voice))},
        "sign": [say(f"passport.sign_{one}") for one in ("operator", "day")],
        "law": say("passport.law"),
        "drawn": say("passport.drawn", on=on.isoformat(), year=str(on.year)),
    }


def _against(batch: Batch, book: Book, now: datetime, voice: Voice) -> Iterable[str]:
    """Yield why the plants may not leave now: then nobody issues a passport for them."""
    gate = gates.answer(Act.SENDING, batch, book, now)
    if gate.answer is Answer.YES:
        return
    yield voice.say("passport.not_now")
    said = ((f"reason.{one.code}", one.params) for one in gate.parts)
    reasons = (
        words.say(voice.language, key, params, voice.house)
        for key, params in said
        if words.has(voice.language, key)
    )
    yield from dict.fromkeys(reasons)


def _boxes(found: Elements, voice: Voice) -> list[dict[str, str]]:
    said = (
        " ".join(filter(None, (found.botanical, found.cultivar and f"‘{found.cultivar}’")))
        if found.botanical
        else "",
        "",
        found.traceability,
        found.origin or "",
    )
    return [
        {"letter": letter, "name": voice.say(f"passport.{letter.lower()}"), "says": says}
        for letter, says in zip(LETTERS, said, strict=True)
    ]


def _facts(batch: Batch, book: Book, voice: Voice) -> Iterable[tuple[str, str]]:
    """Yield what the issuer looks at beside it: each with its name."""

    def fact(key: str, value: str | None) -> tuple[str, str]:
        return voice.say(f"passport.fact_{key}"), value or voice.say("passport.not_told")

    crop, place = book.row("crop", batch.crop), book.row("place", batch.place)
    yield fact("crop", None if crop is None else crop.name)
    alive = None if batch.alive is None else voice.say("figure", figure=batch.alive)
    yield fact("alive", alive)
    yield fact("place", None if place is None else place.name)
    for came in consignments(book, batch):
        told = (came.name, came.certificate, came.supplier)
        yield fact("came", " · ".join(filter(None, told)))
    if batch.released is not None:
        notice = batch.released
        on = book.day(datetime.fromisoformat(notice["at"])).isoformat()
        told_n = {"notice": notice["notice"], "on": on, "n": notice["count"]}
        yield fact("released", voice.say("passport.notice", **told_n))
    yield fact("looked", _last_look(batch, book, voice))
    seen = max((one.at for one in batch.record.inspections), default=None)
    on_day = None if seen is None else voice.say("on_day", on=book.day(seen).isoformat())
    yield fact("inspected", on_day)


def _last_look(batch: Batch, book: Book, voice: Voice) -> str | None:
    looks: list[Look] = [one for one in batch.record.looks if one.answer != "not_looked"]
    if not looks:
        return None
    last = max(looks, key=lambda one: one.at)
    day = voice.say("on_day", on=book.day(last.at).isoformat())
    return f"{day}: {voice.code('look', last.answer.value)}"
