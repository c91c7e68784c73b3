"""Certificates of the office's own: an authority that can vouch for one name, and its leaves.

The authority is a root and a signer. The root signs the signer and its key is thrown away; the
signer signs the leaves. Both are constrained to the same names (RFC 5280, 4.2.1.10). The signer is
there because path validation (RFC 5280, 6.1) does not ask a verifier to heed constraints that stand
in a root: those of the signer every verifier heeds, and no key of the root is left to evade them.

Everything here takes the present instant as an argument and touches no file.
"""

import ipaddress
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from config.address import as_ip

AUTHORITY_LASTS = timedelta(days=3653)
LEAF_LASTS = timedelta(days=397)  # all of it, the day before now included
RENEW_BEFORE = timedelta(days=120)
BEFORE_NOW = timedelta(days=1)  # a phone's clock may be behind

EVERY_NETWORK = (ipaddress.ip_network("0.0.0.0/0"), ipaddress.ip_network("::/0"))
NO_NAME = x509.DNSName("invalid")  # a domain that never exists (RFC 6761)
SUBJECT_MOST = 64  # characters of a common name (RFC 5280, A.1)


# No host name: where no other name stands beside it, a verifier may take it for one.
WEB = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Lathhouse web")])


@dataclass(frozen=True)
class Authority:
    """What phones trust, and what signs for it."""

    root: x509.Certificate
    signer: x509.Certificate
    key: ec.EllipticCurvePrivateKey


def make_authority(names: Sequence[str], now: datetime) -> Authority:
    """Make an authority that can vouch for these host names and addresses alone."""
    root_key, key = ec.generate_private_key(ec.SECP256R1()), ec.generate_private_key(ec.SECP256R1())
    title = _subject(f"Lathhouse {names[0]} {now:%Y-%m-%d}")
    office = _subject(f"Lathhouse {names[0]} office")
    root = (
        _draft(title, title, root_key.public_key(), now, now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=1), critical=True)
        .add_extension(_signs(), critical=True)
        .add_extension(constraints(names), critical=True)
        .sign(root_key, hashes.SHA256())
    )
    signer = (
        _draft(office, title, key.public_key(), now, now + AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_signs(), critical=True)
        .add_extension(constraints(names), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(_signed_by(root_key.public_key()), critical=False)
        .sign(root_key, hashes.SHA256())
    )
    return Authority(root, signer, key)


def make_leaf(
    authority: Authority, names: Sequence[str], now: datetime
) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """Make a web server's certificate and its key; it never outlives the authority."""
    key = ec.generate_private_key(ec.SECP256R1())
    ends = min(now - BEFORE_NOW + LEAF_LASTS, authority.signer.not_valid_after_utc)
    named = x509.SubjectAlternativeName([_general(name) for name in names])
    leaf = (
        _draft(WEB, authority.signer.subject, key.public_key(), now, ends)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_signs(leaf=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(named, critical=False)
        .add_extension(_signed_by(authority.key.public_key()), critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    return leaf, key


def is_due(leaf: x509.Certificate, authority: Authority, now: datetime) -> bool:
    """Say whether a leaf should give way to a new one: well before its end, or before its start.

    One that ends with its authority stays: a new one could not last longer.
    """
    last = leaf.not_valid_after_utc >= authority.signer.not_valid_after_utc
    from_when = leaf.not_valid_after_utc - (timedelta() if last else RENEW_BEFORE)
    return not leaf.not_valid_before_utc <= now < from_when


def constraints(names: Sequence[str]) -> x509.NameConstraints:
    """Return what permits these names, and neither another name nor another address.

    A kind of name that is not mentioned would be free, so both kinds always are.
    """
    general = [_general(name) for name in names]
    hosts: list[x509.GeneralName] = [name for name in general if isinstance(name, x509.DNSName)]
    numbers = [ipaddress.ip_network(n.value) for n in general if isinstance(n, x509.IPAddress)]
    permitted = [*(hosts or [NO_NAME]), *map(x509.IPAddress, numbers)]
    excluded = None if numbers else [x509.IPAddress(network) for network in EVERY_NETWORK]
    return x509.NameConstraints(permitted, excluded)


def vouched_for(authority: x509.Certificate) -> list[str]:
    """Return the names and addresses that an authority of ours is constrained to."""
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    return [
        str(ipaddress.ip_network(name.value).network_address)
        if isinstance(name, x509.IPAddress)
        else str(name.value)
        for name in limits.permitted_subtrees or []
        if name != NO_NAME
    ]


def names_of(certificate: x509.Certificate) -> list[str]:
    """Return the host names and addresses that a web server's certificate is for."""
    try:
        found = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except x509.ExtensionNotFound:
        return []
    return [
        *found.get_values_for_type(x509.DNSName),
        *map(str, found.get_values_for_type(x509.IPAddress)),
    ]


def covers(certificate: x509.Certificate, name: str) -> bool:
    """Say whether a certificate is for a name; a star stands for one label (RFC 6125, 6.4.3)."""
    _, dot, parent = name.partition(".")
    star = "" if as_ip(name) else f"*{dot}{parent}"
    return any(own.lower() in (name, star) for own in names_of(certificate))


def fingerprint(certificate: x509.Certificate) -> list[str]:
    """Return the SHA-256 of a certificate in eight groups of four pairs, as phones show pairs."""
    digits = certificate.fingerprint(hashes.SHA256()).hex(" ").upper().split()
    return [" ".join(digits[at : at + 4]) for at in range(0, 32, 4)]


def _draft(
    subject: x509.Name,
    issuer: x509.Name,
    key: ec.EllipticCurvePublicKey,
    now: datetime,
    ends: datetime,
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - BEFORE_NOW)
        .not_valid_after(ends)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
    )


def _signed_by(key: ec.EllipticCurvePublicKey) -> x509.AuthorityKeyIdentifier:
    return x509.AuthorityKeyIdentifier.from_issuer_public_key(key)


def _subject(title: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, title[:SUBJECT_MOST])])


def _general(name: str) -> x509.DNSName | x509.IPAddress:
    number = as_ip(name)
    return x509.DNSName(name) if number is None else x509.IPAddress(number)


def _signs(*, leaf: bool = False) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=leaf,
        key_cert_sign=not leaf,
        crl_sign=not leaf,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
