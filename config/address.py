"""The address by which phones know this computer: picked once, and kept in the data folder.

A browser keeps a site's records under its name and port. A computer that takes another name leaves
the phones' unsent records behind under the old one, so the address changes on purpose alone.
"""

import ipaddress
import json
import re
import socket
from dataclasses import asdict, dataclass
from pathlib import Path

from config import folder
from config.errors import CannotRun

PORT = 8600
LABEL = re.compile(r"^(?!-)[a-z0-9-]{1,63}(?<!-)$")
# Nothing is sent to these: they only have the system say by which way a packet would leave.
FAR_AWAY = ("203.0.113.1", "224.0.0.251")

IPAddress = ipaddress.IPv4Address | ipaddress.IPv6Address


class NameWrong(CannotRun):
    """A name by which no phone could find this computer."""

    def __init__(self, name: str) -> None:
        super().__init__(
            f"{name!r} is no name by which a phone finds this computer. Give --name a host name "
            "with a dot, of letters a to z, digits and hyphens, as office.local, or this "
            "computer's fixed address, as 192.168.1.20."
        )


class AddressKept(CannotRun):
    """Another address than the one that phones know."""

    def __init__(self, kept: "Address", wished: "Address") -> None:
        super().__init__(
            f"Phones know this nursery as {kept.origin}, and keep unsent records under it; "
            f"under {wished.origin} they would find none of them. Leave out --name and --port. "
            f"To change on purpose, let every phone send first, then add --anew."
        )


@dataclass(frozen=True)
class Address:
    """A host name (or an IP address as text) and the port of https."""

    name: str
    port: int

    @property
    def origin(self) -> str:
        """Return it as a browser writes it."""
        host = f"[{self.name}]" if ":" in self.name else self.name
        return f"https://{host}" if self.port == 443 else f"https://{host}:{self.port}"


def checked(name: str) -> str:
    """Return a host name or address in the form that certificates have it.

    Raises:
        NameWrong: nothing that a phone on the network could look up.
    """
    number = as_ip(name)
    if number is not None:
        if number.is_loopback or number.is_unspecified or number.is_multicast:
            raise NameWrong(name)
        return str(number)
    lower = name.lower().removesuffix(".")
    labels = lower.split(".")
    sound = len(labels) > 1 and len(lower) <= 253 and all(LABEL.match(label) for label in labels)
    if not sound or labels[-1].isdigit():
        raise NameWrong(name)
    return lower


def as_ip(name: str) -> IPAddress | None:
    try:
        return ipaddress.ip_address(name)
    except ValueError:
        return None


def own_name() -> str:
    """Return the name that this computer has on its local network.

    Raises:
        NameWrong: it has none of its own.
    """
    first = socket.gethostname().split(".")[0].lower()
    label = re.sub(r"[^a-z0-9]+", "-", first).strip("-")
    if label in ("", "localhost"):
        raise NameWrong(first)
    return checked(f"{label}.local")


def settled(data: Path, name: str | None, port: int | None, *, anew: bool) -> Address:
    """Return the address that is kept, or the one that is wished where none is kept yet or `anew`.

    Raises:
        NameWrong: the wished name cannot be one.
        AddressKept: another name or port is wished than the one kept, and not anew.
    """
    before = kept(data)
    stays = before or Address(checked(name) if name else own_name(), port or PORT)
    wished = Address(checked(name) if name else stays.name, port or stays.port)
    if wished != stays and not anew:
        raise AddressKept(stays, wished)
    return wished


def kept(data: Path) -> Address | None:
    """Return the address of an earlier start, or None before there was one."""
    try:
        read = json.loads(_file(data).read_text(encoding="utf-8"))
        return Address(str(read["name"]), int(read["port"]))
    except FileNotFoundError:
        return None
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise folder.KeysUnusable(_file(data), str(error)) from error


def keep(data: Path, address: Address) -> None:
    """Write the address down, so that it stays whatever this computer is called later."""
    if kept(data) != address:
        folder.write_key(_file(data), json.dumps(asdict(address)).encode())


def _file(data: Path) -> Path:
    return data / "keys" / "address.json"


def on_the_network() -> list[str]:
    """Return the addresses (IPv4) by which others on the local network reach this computer."""
    found = [_leaves_by(target) for target in FAR_AWAY]
    return sorted({number for number in found if number})


def _leaves_by(target: str) -> str | None:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect((target, 9))
        except OSError:
            return None
        number: str = probe.getsockname()[0]
    address = ipaddress.ip_address(number)
    return None if address.is_loopback or address.is_unspecified else number
