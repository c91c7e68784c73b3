"""The certificate that the office makes for itself: kept among the keys, and renewed by itself."""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.types import PrivateKeyTypes

from config import certificates, folder
from config.certificates import Authority
from config.errors import CannotRun

ROOT, SIGNER, SIGNER_KEY = "root.pem", "signer.pem", "signer.key"
LEAF, LEAF_KEY = "web.pem", "web.key"


class ClockBehind(CannotRun):
    """This computer's clock shows a time before its own authority began."""

    def __init__(self, now: datetime, began: datetime) -> None:
        super().__init__(
            f"This computer's clock says {now:%Y-%m-%d %H:%M} UTC, and the certificate that "
            f"phones trust begins on {began:%Y-%m-%d}. Set the clock, then start again."
        )


class AuthorityEnded(CannotRun):
    """The authority that phones trust is over."""

    def __init__(self, ended: datetime) -> None:
        super().__init__(
            f"The certificate that phones trust ended on {ended:%Y-%m-%d}. Make a new one with "
            "--anew; every phone then has to trust it once. Is the computer's clock right?"
        )


class AuthorityOther(CannotRun):
    """The authority that is kept vouches for another name."""

    def __init__(self, vouched: Sequence[str], name: str) -> None:
        super().__init__(
            f"The certificate that phones trust vouches for {' and '.join(vouched)}, not for "
            f"{name}. Give --name {vouched[0]}, or make a new one with --anew."
        )


@dataclass(frozen=True)
class Office:
    """A folder with an authority and the leaf that the web server shows."""

    folder: Path
    authority: Authority

    @property
    def certificate(self) -> Path:
        """Return the file of the leaf and the signer, in this order."""
        return self.folder / LEAF

    @property
    def key(self) -> Path:
        return self.folder / LEAF_KEY

    @property
    def names(self) -> list[str]:
        """Return the host name first, then the addresses that are vouched for with it."""
        return certificates.vouched_for(self.authority.root)

    def leaf(self) -> x509.Certificate | None:
        """Return the leaf, or None where there is none that its key fits."""
        try:
            leaf = x509.load_pem_x509_certificate(self.certificate.read_bytes())
            key = serialization.load_pem_private_key(self.key.read_bytes(), password=None)
        except (OSError, ValueError, TypeError):
            return None
        return leaf if key.public_key() == leaf.public_key() else None

    def renew(self, now: datetime) -> bool:
        """Make a new leaf where one is due; say whether one was made.

        Raises:
            ClockBehind, AuthorityEnded: no leaf would be valid now.
            KeysUnusable: it cannot be written.
        """
        self._refuse_outside(now)
        leaf = self.leaf()
        if leaf is not None and not certificates.is_due(leaf, self.authority, now):
            return False
        leaf, key = certificates.make_leaf(self.authority, self.names, now)
        folder.write_key(self.key, _pem_of_key(key))
        folder.write_key(self.certificate, _pem(leaf) + _pem(self.authority.signer))
        return True

    def _refuse_outside(self, now: datetime) -> None:
        root = self.authority.root
        if now < root.not_valid_before_utc:
            raise ClockBehind(now, root.not_valid_before_utc)
        if now >= root.not_valid_after_utc:
            raise AuthorityEnded(root.not_valid_after_utc)


def root(data: Path) -> x509.Certificate | None:
    """Return the certificate that phones trust, or None where none was made yet."""
    file = _place(data) / ROOT
    return _certificate(file) if file.exists() else None


def opened(data: Path, names: Sequence[str], now: datetime, *, anew: bool) -> Office:
    """Return the office of a data folder with a leaf that is valid now, made where it is missing.

    `names` are what a new authority vouches for: the host name, then addresses. One that is kept
    stays, whatever addresses the computer has by now. `anew` sets it aside; it is not removed,
    since phones may still hold what they wrote under its name.

    Raises:
        ClockBehind, AuthorityEnded, AuthorityOther: the kept one cannot serve.
        KeysUnusable: a file cannot be read or written.
    """
    place = _place(data)
    if anew and place.exists():
        _set_aside(place, now)
    if not place.exists():
        _keep(place, certificates.make_authority(names, now))
    office = Office(place, _read(place))
    if names[0] not in office.names:
        raise AuthorityOther(office.names, names[0])
    office.renew(now)
    return office


def _set_aside(place: Path, now: datetime) -> None:
    try:
        place.rename(place.with_name(f"tls-before-{now:%Y%m%dT%H%M%S}"))
    except OSError as error:
        raise folder.KeysUnusable(place, error.strerror or str(error)) from error


def _place(data: Path) -> Path:
    return data / "keys" / "tls"


def _read(place: Path) -> Authority:
    signer, key = _certificate(place / SIGNER), _key(place / SIGNER_KEY)
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != signer.public_key():
        raise folder.KeysUnusable(place / SIGNER_KEY, f"it does not fit {SIGNER}")
    return Authority(_certificate(place / ROOT), signer, key)


def _certificate(file: Path) -> x509.Certificate:
    try:
        return x509.load_pem_x509_certificate(file.read_bytes())
    except OSError as error:
        raise folder.KeysUnusable(file, error.strerror or str(error)) from error
    except ValueError as error:
        raise folder.KeysUnusable(file, "it holds no certificate") from error


def _key(file: Path) -> PrivateKeyTypes:
    try:
        return serialization.load_pem_private_key(file.read_bytes(), password=None)
    except OSError as error:
        raise folder.KeysUnusable(file, error.strerror or str(error)) from error
    except (ValueError, TypeError) as error:
        raise folder.KeysUnusable(file, "it holds no key") from error


def _keep(place: Path, authority: Authority) -> None:
    """Write a whole authority beside its place first: half of one would be none."""
    try:
        draft = Path(tempfile.mkdtemp(dir=place.parent))  # this user's alone
    except OSError as error:
        raise folder.KeysUnusable(place, error.strerror or str(error)) from error
    folder.write_key(draft / ROOT, _pem(authority.root))
    folder.write_key(draft / SIGNER, _pem(authority.signer))
    folder.write_key(draft / SIGNER_KEY, _pem_of_key(authority.key))
    draft.replace(place)


def _pem(certificate: x509.Certificate) -> bytes:
    return certificate.public_bytes(serialization.Encoding.PEM)


def _pem_of_key(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
