"""Push to phones: so far no phone can subscribe, so there is never a live subscription."""

from nursery.services.outcome import Banner, Outcome


def has_live(_nursery: str, _person: str) -> bool:
    """Return whether a phone of this person would take a push."""
    return False


def send(_banner: Banner) -> Outcome:
    """Send one push to the phones of a person."""
    return Outcome.GONE
