"""Of the book itself: what is read from it, and what is written into it at the desk."""

from nursery.services.errors.refused import Refused


class CursorUnreadable(Refused):
    code = "cursor_unreadable"

    def __init__(self, text: str) -> None:
        super().__init__(value=text)


class EpochChanged(Refused):
    code = "epoch_changed"
    status = 409

    def __init__(self, theirs: str, ours: str) -> None:
        super().__init__(value=theirs, epoch=ours)


class Unknown(Refused):
    code = "unknown"
    status = 404

    def __init__(self, what: str, ident: str) -> None:
        super().__init__(what=what, value=ident)


class RevisionChanged(Refused):
    code = "revision_changed"
    status = 409


class RecordUnreadable(Refused):
    code = "record_unreadable"
    status = 422


class NobodyWrites(Refused):
    code = "nobody_writes"
    status = 409


class NothingToSignWith(Refused):
    code = "nothing_to_sign_with"
    status = 409


class Later(Refused):
    """Too often, or too many wrong tries; `until` is the instant from which on it is answered."""

    code = "later"
    status = 429


class NotTheirs(Refused):
    code = "not_theirs"
    status = 403
