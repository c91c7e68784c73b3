"""Every way a request can be turned down by a service. What a phone wrote never is.

* Refused
  - CursorUnreadable    a pull from something that is no cursor
  - EpochChanged        a pull from a book that was restored since
  - InviteEnded         a code that is unknown, used or past its end
  - SignInRefused       name and password do not belong together
  - SignInShut          too many tries; with the instant when it opens
  - NotTheirs           nobody of this nursery may ask for this
  - Unknown             nothing of this name
  - RevisionChanged     somebody else changed the row since it was read
"""

from typing import ClassVar

from nursery.domain.errors import Refusal


class Refused(Refusal):
    """A refusal with the HTTP status that it is answered with."""

    status: ClassVar[int] = 400


class CursorUnreadable(Refused):
    code = "cursor_unreadable"

    def __init__(self, text: str) -> None:
        super().__init__(value=text)


class EpochChanged(Refused):
    code = "epoch_changed"
    status = 409

    def __init__(self, theirs: str, ours: str) -> None:
        super().__init__(value=theirs, epoch=ours)


class InviteEnded(Refused):
    code = "invite_ended"
    status = 403


class SignInRefused(Refused):
    code = "sign_in_refused"
    status = 403


class SignInShut(Refused):
    code = "sign_in_shut"
    status = 429


class NotTheirs(Refused):
    code = "not_theirs"
    status = 403


class Unknown(Refused):
    code = "unknown"
    status = 404

    def __init__(self, what: str, ident: str) -> None:
        super().__init__(what=what, value=ident)


class RevisionChanged(Refused):
    code = "revision_changed"
    status = 409
