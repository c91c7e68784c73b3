"""Push to phones: so far no phone can subscribe, so there is never a live subscription."""

from nursery.services.outcome import Outcome


def has_live(_nursery: str, _person: str) -> bool:
    """Return whether a phone of this person would take a push."""
    return False


def send(
    nursery: str, person: str, title: str, body: str, url: str, topic: str, ttl: int, urgency: str
) -> Outcome:
    """Send one push to the phones of a person."""
    del nursery, person, title, body, url, topic, ttl, urgency
    return Outcome.GONE
