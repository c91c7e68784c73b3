"""The address by which phones know this computer: sound, kept, and changed on purpose alone."""

import socket
from pathlib import Path

import pytest

from config import address, folder
from config.address import Address, AddressKept, NameWrong

GOOD = {
    "a name of the local network": ("office.local", "office.local"),
    "capitals are made small": ("Office.LOCAL", "office.local"),
    "the root's dot is left out": ("nursery.example.", "nursery.example"),
    "hyphens inside a label": ("low-house.office.local", "low-house.office.local"),
    "a fixed address": ("192.168.1.20", "192.168.1.20"),
    "a long address of the newer kind": ("FD00::0001", "fd00::1"),
}
BAD = {
    "one label": "office",
    "this computer itself": "localhost",
    "a blank": "low house.local",
    "an underline": "low_house.local",
    "a letter beyond z": "ñandú.local",
    "a hyphen first": "-office.local",
    "two dots": "office..local",
    "a label of 64": f"{'a' * 64}.local",
    "more than 253": f"{'a.' * 126}example",
    "a figure last": "office.1",
    "half an address": "192.168.1",
    "loopback": "127.0.0.1",
    "every address": "0.0.0.0",
    "many at once": "224.0.0.251",
    "an address with its port": "office.local:8600",
    "a whole link": "https://office.local",
    "nothing": "",
}


@pytest.mark.parametrize(("given", "kept"), GOOD.values(), ids=GOOD.keys())
def test_a_name_that_phones_can_look_up(given: str, kept: str) -> None:
    assert address.checked(given) == kept


@pytest.mark.parametrize("given", BAD.values(), ids=BAD.keys())
def test_a_name_that_they_cannot_is_named_with_the_remedy(given: str) -> None:
    with pytest.raises(NameWrong, match="is no name by which a phone finds") as told:
        address.checked(given)
    assert repr(given) in str(told.value)
    assert "office.local" in str(told.value)


OWN = {
    "as it is": ("orrin", "orrin.local"),
    "without its domain": ("orrin.office.example", "orrin.local"),
    "in small letters": ("ORRIN", "orrin.local"),
    "what no name may hold becomes a hyphen": ("ana's_pc", "ana-s-pc.local"),
}


@pytest.mark.parametrize(("computer", "name"), OWN.values(), ids=OWN.keys())
def test_the_first_name_is_the_computers(
    computer: str, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: computer)
    assert address.own_name() == name


def test_a_computer_without_a_name_asks_for_one(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: "localhost")
    with pytest.raises(NameWrong):
        address.own_name()


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder.prepare(tmp_path)
    return tmp_path


def test_the_name_stays_when_the_computer_takes_another(
    data: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(socket, "gethostname", lambda: "orrin")
    first = address.settled(data, None, None, anew=False)
    address.keep(data, first)
    monkeypatch.setattr(socket, "gethostname", lambda: "melna")
    assert address.settled(data, None, None, anew=False) == first == Address("orrin.local", 8600)
    assert (data / "keys" / "address.json").stat().st_mode & 0o777 == 0o600


WISHES = {
    "another name": ("melna.local", None, Address("melna.local", 9000)),
    "another port": (None, 9001, Address("orrin.local", 9001)),
}


@pytest.mark.parametrize(("name", "port", "changed"), WISHES.values(), ids=WISHES.keys())
def test_another_address_is_taken_on_purpose_alone(
    data: Path, name: str | None, port: int | None, changed: Address
) -> None:
    address.keep(data, Address("orrin.local", 9000))
    with pytest.raises(
        AddressKept, match=r"know this nursery as https://orrin\.local:9000.*--anew"
    ):
        address.settled(data, name, port, anew=False)
    assert address.settled(data, name, port, anew=True) == changed


def test_the_address_that_is_kept_may_be_said_again(data: Path) -> None:
    address.keep(data, Address("orrin.local", 9000))
    assert address.settled(data, "Orrin.local", 9000, anew=False) == Address("orrin.local", 9000)


@pytest.mark.parametrize(
    "text", ["", "[]", '{"name": "a.local"}', '{"name": "a.local", "port": "x"}']
)
def test_a_spoilt_file_is_named_and_not_guessed_over(data: Path, text: str) -> None:
    (data / "keys" / "address.json").write_text(text)
    with pytest.raises(folder.KeysUnusable, match=r"address\.json cannot be used"):
        address.settled(data, None, None, anew=False)


ORIGINS = {
    Address("orrin.local", 8600): "https://orrin.local:8600",
    Address("nursery.example", 443): "https://nursery.example",
    Address("fd00::1", 8600): "https://[fd00::1]:8600",
}


@pytest.mark.parametrize(("where", "origin"), ORIGINS.items())
def test_an_origin_is_what_a_browser_writes(where: Address, origin: str) -> None:
    assert where.origin == origin


def test_this_computer_alone_is_no_address_on_the_network() -> None:
    assert not [number for number in address.on_the_network() if number.startswith("127.")]
