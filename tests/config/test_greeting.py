"""What a person reads in the terminal once the product answers."""

import socket
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding

from config import folder, greeting, office
from config.address import Address
from config.serving import Serving
from nursery.services import clock, nurseries
from tests.config.test_given import NAME as DOMAIN
from tests.config.test_given import written

NOW = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
DAY = timedelta(days=1)
NAME = "orrin.local"


@pytest.fixture(autouse=True)
def true_time(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "unshifted", lambda: NOW)


@pytest.fixture
def by_office(tmp_path: Path) -> Serving:
    folder.prepare(tmp_path)
    made = office.opened(tmp_path, [NAME, "192.168.1.20"], NOW, anew=False)
    return Serving("192.168.1.20", 8600, Address(NAME, 8600), made, 8601)


PLAIN = {
    "on this computer": ("127.0.0.1", "Open http://127.0.0.1:8600/  (this computer only)"),
    "by its own name": ("localhost", "Open http://localhost:8600/  (this computer only)"),
    "on the network": ("192.168.1.20", "use the camera: this computer only."),
    "everywhere": ("0.0.0.0", "use the camera: this computer only."),
    "at a newer address": ("fd00::1", "Open http://[fd00::1]:8600/"),
}


@pytest.mark.parametrize(("host", "told"), PLAIN.values(), ids=PLAIN.keys())
def test_without_https_it_says_this_computer_only(host: str, told: str) -> None:
    said = greeting.welcome(Serving(host, 8600))
    assert told in said
    assert said.count("this computer only") == 1


def test_by_https_it_gives_address_square_and_fingerprint(by_office: Serving) -> None:
    said = greeting.welcome(by_office)
    assert f"Open https://{NAME}:8600/" in said
    assert "or open http://192.168.1.20:8601/" in said
    assert "every line:\n  1   " in said
    assert "this computer only" not in said


def test_a_name_that_nobody_finds_is_told_with_the_remedy(
    by_office: Serving, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unknown(*_words: object) -> list[object]:
        raise socket.gaierror

    monkeypatch.setattr(socket, "getaddrinfo", unknown)
    assert f"does not find itself as {NAME}" in greeting.welcome(by_office)
    monkeypatch.setattr(socket, "getaddrinfo", lambda *_words: ["here"])
    assert "does not find itself" not in greeting.welcome(by_office)


def test_the_end_of_what_phones_trust_is_told_half_a_year_before(
    by_office: Serving, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert by_office.office is not None
    ends = by_office.office.authority.root.not_valid_after_utc
    warning = f"What phones trust ends on {ends:%Y-%m-%d}."
    assert warning not in greeting.welcome(by_office)
    monkeypatch.setattr(clock, "unshifted", lambda: ends - 100 * DAY)
    assert warning in greeting.welcome(by_office)


def test_of_a_real_certificate_it_says_the_end_and_what_is_missing(tmp_path: Path) -> None:
    given = written(tmp_path, NOW)
    serving = Serving("0.0.0.0", 443, Address(DOMAIN, 443), given)
    said = greeting.welcome(serving)
    assert f"Open https://{DOMAIN}/" in said
    assert "Its certificate ends on 2032-04-02." in said
    assert "full chain" not in said
    leaf = x509.load_pem_x509_certificates(given.certificate.read_bytes())[0]
    given.certificate.write_bytes(leaf.public_bytes(Encoding.PEM))
    assert "give the file with the full chain" in greeting.welcome(serving)


@pytest.mark.django_db(transaction=True)
def test_a_server_without_a_nursery_is_empty_until_one_is_begun() -> None:
    assert greeting._is_empty()
    nurseries.begin("veshmere", "Veshmere", "UTC")
    assert not greeting._is_empty()
