"""The office's authority vouches for its names alone, by the word of two outside verifiers.

The verifiers are that of the cryptography package and OpenSSL's.
"""

import ipaddress
import subprocess
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import verification

from config import certificates
from config.address import as_ip
from config.certificates import Authority

NOW = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
DAY = timedelta(days=1)

BOTH = ["orrin.local", "192.168.1.20"]
NAME = ["orrin.local"]
NUMBER = ["192.168.1.20"]
NEWER = ["fd00::1"]

# What the authority is made for, what a leaf names, and whether a client should take it.
LEAVES = {
    "its name": (NAME, NAME, True),
    "a name below its own": (NAME, ["low.orrin.local"], True),
    "its name and address": (BOTH, BOTH, True),
    "its address": (NUMBER, NUMBER, True),
    "its address of the newer kind": (NEWER, NEWER, True),
    "another name": (NAME, ["melna.local"], False),
    "the name above its own": (NAME, ["local"], False),
    "a name that only ends alike": (NAME, ["xorrin.local"], False),
    "another name beside its own": (NAME, ["orrin.local", "bank.example"], False),
    "a star over its neighbours": (NAME, ["*.local"], False),
    "any address, where none was named": (NAME, NUMBER, False),
    "any newer address, where none was named": (NAME, NEWER, False),
    "another address": (BOTH, ["orrin.local", "192.168.1.21"], False),
    "a newer address beside an older": (BOTH, NEWER, False),
    "any name, where only an address was named": (NUMBER, NAME, False),
    "an older address beside a newer": (NEWER, NUMBER, False),
}


def leaf_of(authority: Authority, names: Sequence[str]) -> x509.Certificate:
    return certificates.make_leaf(authority, names, NOW)[0]


def is_taken(authority: Authority, leaf: x509.Certificate, name: str, at: datetime = NOW) -> bool:
    """Ask the cryptography package's verifier, which knows the root alone."""
    asked = (
        x509.DNSName(name) if as_ip(name) is None else x509.IPAddress(ipaddress.ip_address(name))
    )
    store = verification.Store([authority.root])
    policy = verification.PolicyBuilder().store(store).time(at).build_server_verifier(asked)
    try:
        return len(policy.verify(leaf, [authority.signer])) == 3
    except verification.VerificationError:
        return False


def openssl_takes(authority: Authority, leaf: x509.Certificate, folder: Path) -> bool:
    parts = {"root": authority.root, "signer": authority.signer, "leaf": leaf}
    for word, certificate in parts.items():
        (folder / word).write_bytes(certificate.public_bytes(Encoding.PEM))
    words = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver"]
    words += ["-attime", str(int(NOW.timestamp())), "-CAfile", "root", "-untrusted", "signer"]
    done = subprocess.run([*words, "leaf"], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0 or "subtree violation" in done.stderr, done.stderr
    return done.returncode == 0


@pytest.mark.parametrize(("vouched", "named", "taken"), LEAVES.values(), ids=LEAVES.keys())
def test_what_an_authority_can_vouch_for(
    vouched: list[str], named: list[str], *, taken: bool, tmp_path: Path
) -> None:
    authority = certificates.make_authority(vouched, NOW)
    leaf = leaf_of(authority, named)
    asked = named[-1].replace("*", "melna")
    assert is_taken(authority, leaf, asked) is taken
    assert openssl_takes(authority, leaf, tmp_path) is taken


def test_the_signer_is_constrained_as_the_root_is_and_signs_no_authority() -> None:
    authority = certificates.make_authority(BOTH, NOW)
    for certificate in (authority.root, authority.signer):
        limits = certificate.extensions.get_extension_for_class(x509.NameConstraints)
        assert limits.critical
        assert certificates.vouched_for(certificate) == BOTH
    signer = authority.signer.extensions.get_extension_for_class(x509.BasicConstraints).value
    assert (signer.ca, signer.path_length) == (True, 0)


def test_nothing_that_is_kept_can_sign_in_the_roots_name() -> None:
    authority = certificates.make_authority(NAME, NOW)
    assert authority.key.public_key() == authority.signer.public_key()
    assert authority.key.public_key() != authority.root.public_key()


def test_keys_are_on_the_p_256_curve() -> None:
    authority = certificates.make_authority(NAME, NOW)
    leaf, key = certificates.make_leaf(authority, NAME, NOW)
    for certificate in (authority.root, authority.signer, leaf):
        public = certificate.public_key()
        assert isinstance(public, ec.EllipticCurvePublicKey)
        assert isinstance(public.curve, ec.SECP256R1)
    assert key.public_key() == leaf.public_key()


def test_a_leaf_lasts_397_days_and_no_second_longer() -> None:
    leaf = leaf_of(certificates.make_authority(NAME, NOW), NAME)
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc == timedelta(days=397)
    assert leaf.not_valid_before_utc < NOW


def test_a_leaf_ends_no_later_than_what_phones_trust() -> None:
    authority = certificates.make_authority(NAME, NOW)
    ends = authority.root.not_valid_after_utc
    leaf, _ = certificates.make_leaf(authority, NAME, ends - 30 * DAY)
    assert leaf.not_valid_after_utc == ends
    assert not certificates.is_due(leaf, authority, ends - 29 * DAY)


DUE = {
    "new": (timedelta(), False),
    "at half its time": (200 * DAY, False),
    "a third of a year before its end": (276 * DAY, True),
    "past its end": (400 * DAY, True),
    "before its start, after the clock was set back": (-2 * DAY, True),
}


@pytest.mark.parametrize(("later", "due"), DUE.values(), ids=DUE.keys())
def test_a_leaf_gives_way_well_before_its_end(later: timedelta, *, due: bool) -> None:
    authority = certificates.make_authority(NAME, NOW)
    assert certificates.is_due(leaf_of(authority, NAME), authority, NOW + later) is due


def test_a_fingerprint_is_read_in_eight_groups_of_four_pairs(tmp_path: Path) -> None:
    root = certificates.make_authority(NAME, NOW).root
    (tmp_path / "root").write_bytes(root.public_bytes(Encoding.PEM))
    words = ["openssl", "x509", "-in", "root", "-noout", "-fingerprint", "-sha256"]
    said = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True, check=True).stdout
    groups = certificates.fingerprint(root)
    assert [len(group.split()) for group in groups] == [4] * 8
    assert " ".join(groups).replace(" ", ":") == said.strip().split("=")[1]


COVERED = {
    "its name": (["nursery.example"], "nursery.example", True),
    "one of several": (["a.example", "nursery.example"], "nursery.example", True),
    "a star for one label": (["*.example"], "nursery.example", True),
    "a star for two": (["*.example"], "low.nursery.example", False),
    "a star for none": (["*.nursery.example"], "nursery.example", False),
    "an address": (["192.168.1.20"], "192.168.1.20", True),
    "a star for a part of an address": (["*.168.1.20"], "192.168.1.20", False),
    "another name": (["a.example"], "nursery.example", False),
}


@pytest.mark.parametrize(("names", "asked", "covered"), COVERED.values(), ids=COVERED.keys())
def test_a_name_that_a_certificate_covers(names: list[str], asked: str, *, covered: bool) -> None:
    leaf = leaf_of(certificates.make_authority(NAME, NOW), names)
    assert certificates.covers(leaf, asked) is covered


def test_a_long_name_fits_a_certificate() -> None:
    name = f"{'a' * 60}.{'b' * 60}.local"
    authority = certificates.make_authority([name], NOW)
    assert is_taken(authority, leaf_of(authority, [name]), name)
