"""A certificate of a real domain is looked through before a browser would refuse it."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization as s
from cryptography.hazmat.primitives.asymmetric import ec, ed25519, rsa

from config import certificates
from config.given import CertificateWrong, Given

NOW = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
DAY = timedelta(days=1)
NAME = "nursery.example"


def written(folder: Path, now: datetime = NOW, names: tuple[str, ...] = (NAME,)) -> Given:
    """Two files as an operator gets them: a leaf with its chain, and its key."""
    authority = certificates.make_authority(names, now)
    leaf, key = certificates.make_leaf(authority, names, now)
    pem = [one.public_bytes(s.Encoding.PEM) for one in (leaf, authority.signer)]
    (folder / "chain.pem").write_bytes(b"".join(pem))
    (folder / "key.pem").write_bytes(private(key))
    return Given(folder / "chain.pem", folder / "key.pem", NAME)


def private(key: Any, form: s.PrivateFormat = s.PrivateFormat.PKCS8, password: str = "") -> bytes:
    lock = s.BestAvailableEncryption(password.encode()) if password else s.NoEncryption()
    pem: bytes = key.private_bytes(s.Encoding.PEM, form, lock)
    return pem


def test_what_fits_is_taken(tmp_path: Path) -> None:
    given = written(tmp_path)
    given.check(NOW)
    assert not given.is_alone()
    assert given.names == [NAME]


WRONG = {
    "a name that it is not for": (
        {"names": ("a.example", "b.example")},
        NOW,
        "is for a.example, b.example, not for nursery",
    ),
    "past its end": ({}, NOW + 400 * DAY, r"ended on 2032-04-02. Fetch a new one"),
    "before its start": ({}, NOW - 9 * DAY, r"begins on 2031-03-02.*clock says 2031-02-22"),
}


@pytest.mark.parametrize(("made", "now", "told"), WRONG.values(), ids=WRONG.keys())
def test_a_certificate_that_browsers_refuse(
    made: dict[str, Any], now: datetime, told: str, tmp_path: Path
) -> None:
    with pytest.raises(CertificateWrong, match=told):
        written(tmp_path, **made).check(now)


def test_the_key_of_another_certificate_is_found_out(tmp_path: Path) -> None:
    given = written(tmp_path)
    given.key.write_bytes(private(ec.generate_private_key(ec.SECP256R1())))
    with pytest.raises(CertificateWrong, match=r"key\.pem does not belong to the certificate"):
        given.check(NOW)


FILES = {
    "no certificate there": ("chain.pem", None, r"chain\.pem cannot be read: No such file"),
    "no key there": ("key.pem", None, r"key\.pem cannot be read: No such file"),
    "a certificate that is none": (
        "chain.pem",
        b"hello",
        "holds no certificate. Give the file that",
    ),
    "a key that is none": ("key.pem", b"hello", "holds no key. Give the file that begins"),
    "a key behind a password": (
        "key.pem",
        private(ec.generate_private_key(ec.SECP256R1()), password="laths"),
        "locked with a password. Give one without",
    ),
}


@pytest.mark.parametrize(("name", "content", "told"), FILES.values(), ids=FILES.keys())
def test_a_file_that_cannot_be_used_is_named(
    name: str, content: bytes | None, told: str, tmp_path: Path
) -> None:
    given = written(tmp_path)
    (tmp_path / name).unlink()
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(CertificateWrong, match=told):
        given.check(NOW)


OLDER = s.PrivateFormat.TraditionalOpenSSL
KEYS: dict[str, Callable[[], bytes]] = {
    "RSA": lambda: private(rsa.generate_private_key(65537, 2048)),
    "RSA in its older form": lambda: private(rsa.generate_private_key(65537, 2048), OLDER),
    "a curve in its older form": lambda: private(ec.generate_private_key(ec.SECP384R1()), OLDER),
    "Ed25519": lambda: private(ed25519.Ed25519PrivateKey.generate()),
}


@pytest.mark.parametrize("key", KEYS.values(), ids=KEYS.keys())
def test_keys_of_every_usual_kind_are_read(key: Callable[[], bytes], tmp_path: Path) -> None:
    given = written(tmp_path)
    given.key.write_bytes(key())
    with pytest.raises(CertificateWrong, match="does not belong"):
        given.check(NOW)


def test_a_leaf_without_those_who_signed_it_is_noticed(tmp_path: Path) -> None:
    given = written(tmp_path)
    (leaf, _) = x509.load_pem_x509_certificates(given.certificate.read_bytes())
    given.certificate.write_bytes(leaf.public_bytes(s.Encoding.PEM))
    assert given.is_alone()


def test_a_newer_file_in_its_place_is_taken_up_once(tmp_path: Path) -> None:
    given = written(tmp_path)
    given.check(NOW)
    assert not given.renew(NOW)
    written(tmp_path, NOW + 300 * DAY)
    assert given.renew(NOW + 300 * DAY)
    assert not given.renew(NOW + 300 * DAY)


def test_a_spoilt_file_in_its_place_is_told_and_looked_at_again(tmp_path: Path) -> None:
    given = written(tmp_path)
    given.check(NOW)
    key = given.key.read_bytes()
    given.key.write_bytes(b"half")
    for _ in range(2):
        with pytest.raises(CertificateWrong, match="holds no key"):
            given.renew(NOW)
    given.key.write_bytes(key)
    assert not given.renew(NOW)
