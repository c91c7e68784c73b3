"""What `nursery up` says once it answers: where it is, and what a phone needs to join."""

import http.client
import io
import socket
import ssl
import sys
import threading
import time
from datetime import timedelta

import segno
from cryptography.hazmat.primitives.serialization import Encoding
from django.conf import settings

from config import certificates
from config.given import Given
from config.office import Office
from config.serving import EVERYWHERE, LOOPBACK, Serving
from nursery.services import clock

READY_SECONDS = 60
# Forced, since a terminal of light ground would turn dark and light about.
LIGHT_ON_DARK, PLAIN = "\033[97;40m", "\033[0m"
SOON = timedelta(days=180)


def greet(serving: Serving, stop: threading.Event) -> None:
    """Say where the product is, once it answers."""
    until = time.monotonic() + READY_SECONDS
    while not answers(serving):
        if stop.wait(0.1) or time.monotonic() > until:
            return
    print(welcome(serving), flush=True)
    if _is_empty():
        print("No nursery is here yet: whoever opens the page first begins it.", flush=True)


def _is_empty() -> bool:
    from django.db import connection

    from nursery.services import beginning

    try:
        return not beginning.is_begun()
    finally:
        connection.close()  # this thread's own


def answers(serving: Serving) -> bool:
    """Say whether the web server is there, and shows the certificate that it should."""
    host = LOOPBACK[0] if serving.host in EVERYWHERE else serving.host
    called = serving.address.name if serving.address else host
    asking = http.client.HTTPConnection(called, serving.port, timeout=2)
    try:
        asking.sock = socket.create_connection((host, serving.port), timeout=2)
        if serving.certificate is not None:
            asking.sock = _context(serving.certificate).wrap_socket(
                asking.sock, server_hostname=called
            )
        asking.request("GET", "/healthz")
        return asking.getresponse().status == http.HTTPStatus.OK
    except (OSError, http.client.HTTPException):
        return False
    finally:
        asking.close()


def _context(certificate: Office | Given) -> ssl.SSLContext:
    """Trust what phones are to trust, and of a given certificate itself: it was looked through."""
    if isinstance(certificate, Office):
        root = certificate.authority.root.public_bytes(Encoding.PEM).decode()
        return ssl.create_default_context(cadata=root)
    context = ssl.create_default_context(cafile=certificate.certificate)
    context.verify_flags |= ssl.VERIFY_X509_PARTIAL_CHAIN
    return context


def welcome(serving: Serving) -> str:
    """Return the lines for the person who started it."""
    lines = [*_where(serving), f"Data: {settings.DATA}"]
    if settings.CLOCK is not None:
        lines.append(f"The clock was started at {settings.CLOCK.isoformat()}.")
    if settings.DEMO:
        from nursery.services import demo

        lines += ["The demo's people and their PINs:", *demo.people_and_pins()]
    lines.append("Ctrl-C stops it.")
    return "\n".join(lines)


def _where(serving: Serving) -> list[str]:
    if serving.office is not None:
        return _by_office(serving, serving.office)
    if isinstance(serving.certificate, Given):
        return _by_domain(serving, serving.certificate)
    host = f"[{serving.host}]" if ":" in serving.host else serving.host
    place = f"Open http://{host}:{serving.port}/"
    if serving.host in LOOPBACK:
        return [f"{place}  (this computer only)"]
    return [
        place,
        "Without https, phones cannot keep the app or use the camera: this computer only.",
    ]


def _by_office(serving: Serving, office: Office) -> list[str]:
    page = f"http://{[*serving.page_hosts, *office.names][0]}:{serving.page_port}/"
    groups = certificates.fingerprint(office.authority.root)
    lines = [
        f"Open {serving.origins[0]}/",
        f"A phone joins over the same Wi-Fi: point its camera at the square, or open {page}",
        *_square(page),
        f"The fingerprint (SHA-256) that the phone must show for {office.names[0]}, every line:",
        *(f"  {number}   {group}" for number, group in enumerate(groups, 1)),
    ]
    if not _is_found(office.names[0]):
        lines.append(
            f"This computer does not find itself as {office.names[0]}. If phones do not either, "
            "let it announce its name (on Linux: avahi-daemon), or give it a fixed address "
            "and start with --anew --name and that address."
        )
    ends = office.authority.root.not_valid_after_utc
    if ends - clock.unshifted() < SOON:
        lines.append(
            f"What phones trust ends on {ends:%Y-%m-%d}. Before then choose a day, let every "
            "phone send, start with --anew, and have every phone trust the new certificate."
        )
    return lines


def _by_domain(serving: Serving, given: Given) -> list[str]:
    ends = given.leaf().not_valid_after_utc
    lines = [
        f"Open {serving.origins[0]}/",
        f"Its certificate ends on {ends:%Y-%m-%d}. A newer file there is taken up in an hour.",
    ]
    if given.is_alone():
        lines.append(
            f"{given.certificate} holds one certificate alone. Phones want those that signed it as "
            "well: give the file with the full chain."
        )
    return lines


def _square(text: str) -> list[str]:
    """Return a QR code in half blocks, for a terminal."""
    drawn = io.StringIO()
    segno.make(text, micro=False).terminal(drawn, border=2, compact=True)
    lines = drawn.getvalue().splitlines()
    return [f"{LIGHT_ON_DARK}{line}{PLAIN}" for line in lines] if sys.stdout.isatty() else lines


def _is_found(name: str) -> bool:
    try:
        return bool(socket.getaddrinfo(name, None))
    except OSError:
        return False
