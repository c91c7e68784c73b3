"""Why an answer is as it is: a code and its figures. The sentence stands in the word catalogue."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Reason:
    """`reason.<code>` of the word catalogue, with what its holes are filled with (JSON values)."""

    code: str
    params: Mapping[str, Any] = field(default_factory=dict)

    def as_json(self) -> dict[str, Any]:
        return {"code": self.code, "params": dict(self.params)}
