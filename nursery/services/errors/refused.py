"""What every refusal has in common."""

from typing import ClassVar

from nursery.domain.errors import Refusal


class Refused(Refusal):
    """A refusal with the HTTP status that it is answered with."""

    status: ClassVar[int] = 400
