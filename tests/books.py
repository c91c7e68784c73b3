"""Whether the books of a test's database hold: kept states are what they fold to, chains stand."""

from nursery.services import nurseries, refold, verify


def faults() -> list[str]:
    """Return what is wrong with any book; an empty list means that all of them hold."""
    return [
        f"{nursery}: {fault}"
        for nursery in nurseries.every()
        for fault in (*refold.differences(nursery), *verify.chain(nursery))
    ]
