"""How `nursery up` serves: plain for this computer only, or by https for phones."""

import argparse
import os
import sys
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from django.conf import settings

from config import address, leash, office
from config.address import PORT, Address
from config.given import Given
from config.office import Office
from config.supervisor import Child
from nursery.services import clock

LOOPBACK = ("127.0.0.1", "::1", "localhost")
EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104  wished by --tls, and only compared otherwise


@dataclass(frozen=True)
class Serving:
    """What is listened on, and with which certificate.

    Attributes:
        host: the address to listen on.
        port: the port of the app.
        address: how phones know this computer; None where no certificate vouches for it.
        page_port: the port of the page on which phones learn to trust the office's certificate.
    """

    host: str
    port: int
    address: Address | None = None
    certificate: Office | Given | None = None
    page_port: int | None = None

    @property
    def office(self) -> Office | None:
        return self.certificate if isinstance(self.certificate, Office) else None

    @property
    def origins(self) -> list[str]:
        """Return every origin under which a browser may open the app by https."""
        if self.certificate is None:
            return []
        return [Address(name, self.port).origin for name in self.certificate.names]

    @property
    def page_hosts(self) -> list[str]:
        """Return the addresses at which a phone finds the page."""
        return on_the_network(self.host)


def options() -> argparse.ArgumentParser:
    """Return what reads the words after `nursery up`."""
    parser = argparse.ArgumentParser(
        prog="nursery up", description="The whole product on one computer, until Ctrl-C."
    )
    parser.add_argument("--port", type=_port, help=f"where to answer ({PORT}, or the one kept)")
    parser.add_argument("--host", help="the address to listen on (every one by https, else none "
                        "but this computer's own)")  # fmt: skip
    https = parser.add_argument_group("for phones, by https")
    https.add_argument("--tls", action="store_true", help="with a certificate of the office's own")
    https.add_argument("--certificate", type=Path, help="with this file of a real domain")
    https.add_argument("--key", type=Path, help="the key of that certificate")
    https.add_argument("--name", help="the host name that phones use (kept from the first start)")
    https.add_argument("--page-port", type=_port, help="where phones learn to trust (port + 1)")
    https.add_argument("--anew", action="store_true", help="change name, port and the office's "
                       "certificate on purpose: every phone joins anew")  # fmt: skip
    return parser


def read(words: list[str]) -> argparse.Namespace:
    """Read the words after `nursery up`, and refuse those that do not go together."""
    parser = options()
    choice = parser.parse_args(words)
    if choice.tls and choice.certificate:
        parser.error("--tls makes a certificate, --certificate brings one: give one of the two")
    if bool(choice.certificate) != bool(choice.key):
        parser.error("--certificate and --key go together")
    if choice.certificate and not choice.name:
        parser.error("--certificate needs --name with the domain that phones use")
    if not (choice.tls or choice.certificate) and (choice.name or choice.anew or choice.page_port):
        parser.error("--name, --anew and --page-port go with --tls or --certificate")
    return choice


def _port(word: str) -> int:
    if word.isdigit() and 1 <= int(word) <= 65535:
        return int(word)
    raise argparse.ArgumentTypeError(f"{word!r} is no port; give a number from 1 to 65535")


def planned(choice: argparse.Namespace) -> Serving:
    """Return what will be listened on, before any certificate is made or read.

    Raises:
        NameWrong, AddressKept: phones could not find this computer, or not find it again.
    """
    if not (choice.tls or choice.certificate):
        return Serving(choice.host or LOOPBACK[0], choice.port or PORT)
    where = address.settled(settings.DATA, choice.name, choice.port, anew=choice.anew)
    beside = where.port + 1 if where.port < 65535 else where.port - 1
    page = (choice.page_port or beside) if choice.tls else None
    return Serving(choice.host or EVERYWHERE[0], where.port, where, page_port=page)


def certified(plan: Serving, choice: argparse.Namespace) -> Serving:
    """Return the plan with its certificate, and keep its address.

    The true time dates certificates: phones have no other.

    Raises:
        CertificateWrong, ClockBehind, AuthorityEnded, AuthorityOther, KeysUnusable: none can serve.
    """
    if plan.address is None:
        return plan
    now, name = clock.unshifted(), plan.address.name
    certificate: Office | Given
    if choice.tls:
        numbers = [number for number in on_the_network(plan.host) if number != name]
        certificate = office.opened(settings.DATA, [name, *numbers], now, anew=choice.anew)
    else:
        certificate = Given(choice.certificate.absolute(), choice.key.absolute(), name)
        certificate.check(now)
    address.keep(settings.DATA, plan.address)
    return Serving(plan.host, plan.port, plan.address, certificate, plan.page_port)


def on_the_network(host: str) -> list[str]:
    """Return the addresses at which others reach what listens on `host`."""
    if host in EVERYWHERE:
        return address.on_the_network()
    return [] if host in LOOPBACK else [host]


def children(serving: Serving) -> tuple[Child, ...]:
    """Return the processes that serve, not yet started."""
    started = {
        **os.environ,
        leash.PARENT: str(os.getpid()),
        "NURSERY_CHILD_CLOCK_SET_AT": datetime.now(UTC).isoformat(),  # noqa: TID251  the true time
        "NURSERY_HOSTS": ",".join(_names(serving)),
        "NURSERY_CHILD_ORIGINS": ",".join(serving.origins),
        "NURSERY_CHILD_REAL_CERTIFICATE": "yes" if isinstance(serving.certificate, Given) else "",
    }
    words = {
        "web": ["--host", serving.host, "--port", str(serving.port)],
        "worker": ["--beat"],
    }
    if serving.certificate is not None:
        files = serving.certificate.certificate, serving.certificate.key
        words["web"] += ["--certificate", str(files[0]), "--key", str(files[1])]
    if serving.page_port is not None:
        words["trust"] = ["--host", serving.host, "--port", str(serving.page_port)]
    # Python looks for modules where it is started: there, not among a user's own folders.
    return tuple(
        Child(name, (sys.executable, "-m", "config", name, *rest), started, settings.BASE)
        for name, rest in words.items()
    )


def _names(serving: Serving) -> list[str]:
    own = [] if serving.host in (*EVERYWHERE, *LOOPBACK) else [serving.host]
    vouched = serving.certificate.names if serving.certificate is not None else []
    return [*settings.ALLOWED_HOSTS, *own, *(f"[{n}]" if ":" in n else n for n in vouched)]
