"""Walk the chain of a nursery's feed and say where it breaks first."""

from collections.abc import Iterator

from nursery.domain import chain as links
from nursery.store.models import FeedRow
from nursery.store.scope import Scope, scope

PAGE = 2000


def chain_faults(nursery: str) -> Iterator[str]:
    """Yield, in words for an operator, each thing that is wrong with the feed of a nursery.

    The numbers must be 1..last without holes, each text must hash to its hash (a blanked text is
    no break), each link must rest on the one before, and the head must hold the last link.
    """
    with scope(nursery) as book:
        seq, link = 0, links.START
        while rows := _page(book, seq):
            for row in rows:
                seq += 1
                if row.seq != seq:
                    yield f"line {seq} is missing, line {row.seq} follows"
                    seq = row.seq
                if row.text and links.text_hash(row.text) != row.hash:
                    yield f"line {seq}: its text is not the one that was stored"
                link = links.link(link, row.seq, row.ident, row.hash)
                if link != row.link:
                    yield f"line {seq}: its link does not rest on the line before"
                    link = row.link
        head = book.head
        if (head.last_seq, head.chain) != (seq, link):
            yield f"the head says line {head.last_seq}, the feed ends with line {seq}"


def _page(book: Scope, after: int) -> list[FeedRow]:
    return list(
        book.feed.filter(seq__gt=after)
        .order_by("seq")
        .only("seq", "ident", "text", "hash", "link")[:PAGE]
    )


def chain(nursery: str, most: int = 20) -> list[str]:
    """Return the first faults of the chain; an empty list means that it holds."""
    faults = []
    for fault in chain_faults(nursery):
        faults.append(fault)
        if len(faults) == most:
            break
    return faults
