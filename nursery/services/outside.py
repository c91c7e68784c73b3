"""One request to a host outside, at an address that somebody else gave.

Such an address could name a machine in the office, whose doors are shut to the world and open to
this server. So it must be https, its host must have public addresses alone, and the connection goes
to the very address that was looked at; it is never led on to another. Only the status is read.
"""

import socket
import ssl
import threading
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from http.client import HTTPConnection, HTTPException
from ipaddress import IPv4Address, IPv6Address, ip_address, ip_network
from urllib.parse import SplitResult, urlsplit

SECONDS = 10.0
# For the whole of it: somebody who says one letter at a time keeps nobody busy.
MOST_SECONDS = 30.0
# Numbers of IPv6 that a gateway on the way turns into one of IPv4, which may be any: the old
# compatible form, NAT64 (RFC 6052, 8215), Teredo (RFC 4380), 6to4 (RFC 3056).
_ON = ("::/96", "64:ff9b::/96", "64:ff9b:1::/48", "2001::/32", "2002::/16")
LEADS_ON = tuple(map(ip_network, _ON))
MOST_CHARACTERS = 2000


class NotOutside(ValueError):
    """An address that this server must not ask: not https, or not in public."""


class Unreached(OSError):
    """No answer came from there."""


@dataclass(frozen=True, slots=True)
class Door:
    """Which addresses are outside. `loopback` lets a test's own service be one."""

    loopback: bool = False

    def parts(self, address: str) -> SplitResult:
        """Return the parts of an address that may be asked, as far as its text tells.

        Raises:
            NotOutside: it may not.
        """
        try:
            parts = urlsplit(address)
            port, host = parts.port, parts.hostname or ""
        except ValueError:
            raise NotOutside(address[:80]) from None
        plain = parts.scheme == "http" and self.loopback and _literal(host) is not None
        if parts.scheme != "https" and not plain:
            raise NotOutside(address[:80])
        odd = parts.username is not None or parts.fragment or not address.isascii()
        if not host or odd or port == 0 or len(address) > MOST_CHARACTERS or _blank(address):
            raise NotOutside(address[:80])
        literal = _literal(host)
        if literal is not None and not self.admits(literal):
            raise NotOutside(address[:80])
        return parts

    def admits(self, literal: IPv4Address | IPv6Address) -> bool:
        """Whether a machine of this number may be asked."""
        mapped = getattr(literal, "ipv4_mapped", None) or literal
        if mapped.is_loopback:
            return self.loopback
        inside = any(mapped in network for network in LEADS_ON if network.version == mapped.version)
        return bool(mapped.is_global) and not mapped.is_multicast and not inside

    def post(self, address: str, body: bytes, headers: Mapping[str, str]) -> int:
        """Send `body` there and return the status of the answer, whatever it is.

        Raises:
            NotOutside: it may not be asked.
            Unreached: nobody answered within `SECONDS` for each step, or `MOST_SECONDS` for all.
        """
        parts = self.parts(address)
        number = self._number(parts)
        connection = _Pinned(parts, number)
        path = f"{parts.path or '/'}{f'?{parts.query}' if parts.query else ''}"
        watch = threading.Timer(MOST_SECONDS, connection.give_up)
        watch.daemon = True
        watch.start()
        try:
            connection.request("POST", path, body, dict(headers))
            return connection.getresponse().status
        except (OSError, HTTPException) as error:
            raise Unreached(f"{parts.hostname}: {type(error).__name__}") from error
        finally:
            watch.cancel()
            connection.close()

    def _number(self, parts: SplitResult) -> str:
        """Return the number of the host, all of whose numbers are public."""
        host = parts.hostname or ""
        try:
            found = socket.getaddrinfo(host, _port(parts), type=socket.SOCK_STREAM)
        except (OSError, UnicodeError) as error:
            raise Unreached(f"{host}: no such host") from error
        numbers = [str(where[0]) for *_, where in found]
        for number in numbers:
            literal = _literal(number)
            if literal is None or not self.admits(literal):
                raise NotOutside(host)
        return numbers[0]


class _Pinned(HTTPConnection):
    """A connection to one number, which speaks TLS as the host that was asked for."""

    def __init__(self, parts: SplitResult, number: str) -> None:
        super().__init__(parts.hostname or "", _port(parts), timeout=SECONDS)
        self._number = number
        self._secure = parts.scheme == "https"

    def connect(self) -> None:
        self.sock = socket.create_connection((self._number, self.port), SECONDS)
        if self._secure:
            context = ssl.create_default_context()
            # Shaken hands with afterwards, so that even then it can be given up.
            self.sock = context.wrap_socket(
                self.sock, server_hostname=self.host, do_handshake_on_connect=False
            )
            self.sock.do_handshake()

    def give_up(self) -> None:
        """End the connection, whoever waits for it."""
        with suppress(OSError, AttributeError):
            self.sock.shutdown(socket.SHUT_RDWR)


def _port(parts: SplitResult) -> int:
    return parts.port or (443 if parts.scheme == "https" else 80)


def _literal(host: str) -> IPv4Address | IPv6Address | None:
    try:
        return ip_address(host.partition("%")[0])
    except ValueError:
        return None


def _blank(text: str) -> bool:
    return any(character <= " " or character == "\x7f" for character in text)
