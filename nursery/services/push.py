"""Web push: which browsers show what a person is told, and telling them (RFC 8030, 8291, 8292).

A push is a nicety over e-mail and over what the phone counts down by itself: a service that took it
says nothing of whether anybody saw it. So an answer is told as it came, and nothing is tried twice
here.
"""

import json
import logging
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from http import HTTPStatus
from typing import Any
from urllib.parse import urlsplit

from cryptography.hazmat.primitives.asymmetric import ec
from django.conf import settings

from nursery.services import clock, push_key
from nursery.services.errors import PushAddressUnfit, PushNotSetUp, Unknown
from nursery.services.outcome import Banner, Outcome
from nursery.services.outside import Door, NotOutside, Unreached
from nursery.store.models import PushRow
from nursery.store.scope import Scope, scope

log = logging.getLogger("nursery.push")

POINT_BYTES, AUTH_BYTES = 65, 16
# A body of more than 4096 bytes may be turned down (RFC 8030, 7.2); encryption takes its part.
MOST_BYTES = 3000
TOKEN_LASTS = timedelta(hours=12)
GONE = frozenset({HTTPStatus.NOT_FOUND, HTTPStatus.GONE})
# With a time to live of none a service drops what it cannot hand over at once.
LEAST_SECONDS = 60


@dataclass(frozen=True, slots=True)
class Browser:
    """Where and with which keys a browser takes pushes, as it says itself."""

    endpoint: str
    p256dh: str
    auth: str


def subscribe(nursery: str, device: str, person: str, browser: Browser, now: datetime) -> None:
    """Have what a person is told shown by a browser on a phone. Said again, it is so again.

    Raises:
        PushAddressUnfit: its address is none of a push service, or its keys are none.
        Unknown: nobody of the nursery is called so.
    """
    _examine(browser)
    with scope(nursery, write=True) as book:
        if not book.refs.filter(type="person", ident=person, gone=False).exists():
            raise Unknown("person", person)
        # A browser that subscribes anew has another address, and takes nothing at the one before.
        stale = _live(book).filter(device=device, person=person)
        stale.exclude(endpoint=browser.endpoint).update(gone_at=now, gone_why="replaced")
        PushRow.objects.update_or_create(
            nursery_id=book.key,
            person=person,
            endpoint_hash=_hash(browser.endpoint),
            defaults={
                "device": device,
                "endpoint": browser.endpoint,
                "p256dh": browser.p256dh,
                "auth": browser.auth,
                "made_at": now,
                "gone_at": None,
                "gone_why": "",
            },
        )


def unsubscribe(nursery: str, device: str, person: str, now: datetime) -> None:
    """Have a phone show nothing more to a person. Where it did not, nothing changes."""
    with scope(nursery, write=True) as book:
        _live(book).filter(device=device, person=person).update(gone_at=now, gone_why="asked")


def every(nursery: str, person: str = "") -> list[dict[str, Any]]:
    """Return which phones show pushes, and to whom: to all, or to one person."""
    with scope(nursery) as book:
        names = dict(book.devices.values_list("ident", "name"))
        rows = _live(book).order_by("person", "made_at", "pk")
        if person:
            rows = rows.filter(person=person)
        return [
            {
                "person": row.person,
                "device": row.device,
                "device_name": names.get(row.device, ""),
                "made_at": row.made_at,
            }
            for row in rows
        ]


def has_live(nursery: str, person: str) -> bool:
    """Whether any browser takes pushes for a person."""
    with scope(nursery) as book:
        return bool(_live(book).filter(person=person).exists())


def send(banner: Banner) -> Outcome:
    """Tell a person by all browsers that take pushes for them, each of them once.

    `sent`: at least one service took it. `gone`: no browser is left; one that its service has
    forgotten (404, 410) is taken off the list. `failed`: anything else. This asks hosts outside, so
    no transaction may be open.
    """
    with scope(banner.nursery) as book:
        rows = list(_live(book).filter(person=banner.person).order_by("pk"))
    if not rows:
        return Outcome.GONE
    contact = push_key.contact(banner.nursery)
    if contact is None:
        log.warning("no push: a push service asks for an address to write to, and there is none")
        return Outcome.FAILED
    outcomes = {_told(row, banner, contact) for row in rows}
    best = (Outcome.SENT, Outcome.FAILED, Outcome.GONE)
    return next(outcome for outcome in best if outcome in outcomes)


def _told(row: PushRow, banner: Banner, contact: str) -> Outcome:
    """Return what came of telling one browser."""
    host = urlsplit(row.endpoint).hostname
    try:
        body, headers = _sealed(row, banner, contact)
        status = _door().post(row.endpoint, body, headers)
    except (NotOutside, Unreached, PushNotSetUp, ValueError) as error:
        log.warning("a push failed: %s", type(error).__name__, extra={"host": host})
        return Outcome.FAILED
    if status in GONE:
        with scope(banner.nursery, write=True) as book:
            _live(book).filter(pk=row.pk).update(gone_at=clock.now(), gone_why=str(status))
        return Outcome.GONE
    if 200 <= status < 300:
        return Outcome.SENT
    log.warning("a push service answered %s", status, extra={"host": host})
    return Outcome.FAILED


def _sealed(row: PushRow, banner: Banner, contact: str) -> tuple[bytes, dict[str, str]]:
    """Return the body that only that browser can read, and the headers for its service."""
    # The library brings an HTTP client and takes its time: only a worker that sends loads it.
    from py_vapid import Vapid02  # noqa: PLC0415
    from pywebpush import WebPusher  # noqa: PLC0415

    keys = {"p256dh": row.p256dh, "auth": row.auth}
    pusher = WebPusher({"endpoint": row.endpoint, "keys": keys})
    body: bytes = pusher.encode(_text(banner))["body"]
    parts = urlsplit(row.endpoint)
    # Services compare it with the true time, whatever the product's clock was set to.
    ends = int((clock.unshifted() + TOKEN_LASTS).timestamp())
    claims = {"aud": f"{parts.scheme}://{parts.netloc}", "sub": contact, "exp": ends}
    signed: dict[str, str] = Vapid02.from_raw(push_key.private().encode()).sign(claims)
    return body, {
        **signed,
        "Content-Encoding": "aes128gcm",
        "Content-Type": "application/octet-stream",
        "TTL": str(max(banner.ttl, LEAST_SECONDS)),
        "Urgency": banner.urgency,
        "Topic": banner.topic,
    }


def _text(banner: Banner) -> bytes:
    """Return what the service worker reads; a long body is cut rather than turned down."""
    told = {"title": banner.title, "tag": banner.topic, "url": banner.url}
    body = banner.body
    while True:
        text = json.dumps({**told, "body": body}, ensure_ascii=False).encode()
        if len(text) <= MOST_BYTES or not body:
            return text
        body = f"{body[: len(body) * 3 // 4].rstrip()}…" if len(body) > 40 else ""


def _examine(browser: Browser) -> None:
    """Raise `PushAddressUnfit` for what no push can be sent to."""
    try:
        _door().parts(browser.endpoint)
        point = push_key.unpacked(browser.p256dh)
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
        sound = len(point) == POINT_BYTES and len(push_key.unpacked(browser.auth)) == AUTH_BYTES
    except ValueError:
        sound = False
    if not sound:
        raise PushAddressUnfit(value=browser.endpoint[:80])


def _door() -> Door:
    return Door(loopback=settings.PUSH_LOOPBACK)


def _live(book: Scope) -> Any:
    """Return the subscriptions in force; a phone that was shut out shows nothing."""
    out = book.devices.exclude(revoked_at=None).values("ident")
    return book.pushes.filter(gone_at=None).exclude(device__in=out)


def _hash(endpoint: str) -> str:
    return sha256(endpoint.encode()).hexdigest()
