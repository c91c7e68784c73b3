"""What must be there before anybody can sign in: an empty nursery, and two accounts."""

from nursery.services import demo, nurseries
from nursery.store.models import NurseryRow


class BookIsSomebodys(Exception):
    """The book holds a nursery of somebody's own: the demo is never mixed with one."""

    def __init__(self, names: list[str]) -> None:
        super().__init__(
            f"This book holds {', '.join(names)}. The demo is a nursery apart, with a book of "
            "its own: run it with --demo, or give it another database."
        )


def begin() -> None:
    """Make the demo nursery and the accounts of its grower and inspector, if need be.

    Raises:
        BookIsSomebodys: the book is in use for another nursery.
    """
    rows = NurseryRow.objects.order_by("pk")
    own = [row.name for row in rows if not row.demo]
    if own:
        raise BookIsSomebodys(own)
    if rows.filter(ident=demo.NURSERY).exists():
        return
    nurseries.begin(demo.NURSERY, demo.NAME, demo.ZONE, demo=True)
    for one in (demo.G, demo.P):
        person = one.id if one.pin else ""
        who = nurseries.Newcomer(one.email, one.password, one.name, one.part, person)
        nurseries.add_account(demo.NURSERY, who)
