"""What was read in the field, as long as it counts (rule V-6)."""

from datetime import date, timedelta

from nursery.domain.book import Book
from nursery.domain.record import Figure

# Rain changes what a probe told: figures of the field count for so many days.
FIGURES_COUNT = timedelta(days=3)
OF_THE_FIELD = ("wet_to_cm", "dry_spell_percent")


def latest(
    name: str, what: str, book: Book, today: date, for_days: timedelta | None
) -> Figure | None:
    """Return the last figure read at a place or at one around it, as long as it counts (V-6)."""
    read = [
        figure
        for seat in book.outward(name)
        if seat in book.places
        for figure in book.places[seat].record.figures
        if figure.what == what and _counts(figure, book, today, for_days)
    ]
    return max(read, key=lambda one: (one.at, one.entry), default=None)


def value(
    name: str, what: str, book: Book, today: date, for_days: timedelta | None = None
) -> float | None:
    figure = latest(name, what, book, today, for_days)
    return None if figure is None else figure.value


def _counts(figure: Figure, book: Book, today: date, for_days: timedelta | None) -> bool:
    on = book.day(figure.at)
    return on <= today and (for_days is None or on > today - for_days)
