"""How large a book is to be, and the seed that it grows from."""

from dataclasses import dataclass

USUAL_ENTRIES, USUAL_NURSERIES, USUAL_YEARS, USUAL_SEED = 1_000_000, 3, 4, 7
# What each may be; more entries than that wants more disk than anybody gives to an invented book.
LIMITS: dict[str, tuple[int, int]] = {
    "entries": (1, 20_000_000),
    "nurseries": (1, 100),
    "years": (1, 40),
    "seed": (0, 2**32 - 1),
}


class SizeImpossible(ValueError):
    """No book is that large; names the figure and what it may be."""

    def __init__(self, name: str, value: int) -> None:
        least, most = LIMITS[name]
        super().__init__(f"--{name} {value} cannot be. Choose a number from {least} to {most}.")


@dataclass(frozen=True, slots=True)
class Size:
    """So many entries in all, over so many nurseries and years."""

    entries: int = USUAL_ENTRIES
    nurseries: int = USUAL_NURSERIES
    years: int = USUAL_YEARS
    seed: int = USUAL_SEED

    def __post_init__(self) -> None:
        for name, (least, most) in LIMITS.items():
            if not least <= getattr(self, name) <= most:
                raise SizeImpossible(name, getattr(self, name))

    def share(self, nursery: int) -> int:
        """Return how many entries nursery number `nursery`, from 0, has.

        >>> [Size(10, 3).share(one) for one in range(3)]
        [4, 3, 3]
        """
        each, over = divmod(self.entries, self.nurseries)
        return each + (nursery < over)
