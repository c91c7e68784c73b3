"""The office's own certificate on disk: private, lasting, renewed, and named where it is spoilt."""

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding

from config import folder, office
from config.office import AuthorityEnded, AuthorityOther, ClockBehind

NOW = datetime(2031, 3, 3, 6, 30, tzinfo=UTC)
DAY = timedelta(days=1)
NAMES = ["orrin.local", "192.168.1.20"]


@pytest.fixture
def data(tmp_path: Path) -> Path:
    folder.prepare(tmp_path)
    return tmp_path


def opened(
    data: Path, now: datetime = NOW, names: list[str] = NAMES, **more: bool
) -> office.Office:
    return office.opened(data, names, now, anew=more.get("anew", False))


def serial(found: office.Office) -> int:
    leaf = found.leaf()
    assert leaf is not None
    return leaf.serial_number


def test_what_is_made_is_for_this_user_alone(data: Path) -> None:
    opened(data)
    made = {file.name: file.stat().st_mode & 0o777 for file in (data / "keys" / "tls").iterdir()}
    assert made == dict.fromkeys(
        ["root.pem", "signer.pem", "signer.key", "web.pem", "web.key"], 0o600
    )
    assert (data / "keys" / "tls").stat().st_mode & 0o777 == 0o700


def test_a_second_start_changes_nothing(data: Path) -> None:
    opened(data)
    before = {file: file.read_bytes() for file in (data / "keys" / "tls").iterdir()}
    opened(data, NOW + 30 * DAY, ["orrin.local", "10.0.0.7"])
    assert {file: file.read_bytes() for file in (data / "keys" / "tls").iterdir()} == before


def test_a_start_late_in_its_time_renews_the_leaf_and_leaves_what_phones_trust(data: Path) -> None:
    first, root = serial(opened(data)), office.root(data)
    later = opened(data, NOW + 300 * DAY)
    leaf = later.leaf()
    assert leaf is not None
    assert leaf.serial_number != first
    assert leaf.not_valid_after_utc > NOW + 690 * DAY
    assert office.root(data) == root == later.authority.root
    assert later.names == NAMES


def test_while_running_it_is_renewed_when_it_is_due_and_not_before(data: Path) -> None:
    running = opened(data)
    first = serial(running)
    assert not running.renew(NOW + 200 * DAY)
    assert serial(running) == first
    assert running.renew(NOW + 280 * DAY)
    assert serial(running) != first
    assert not running.renew(NOW + 281 * DAY)


def test_near_the_end_of_the_authority_it_is_not_renewed_at_every_look(data: Path) -> None:
    near = opened(data).authority.root.not_valid_after_utc - 30 * DAY
    running = opened(data, near)
    assert not running.renew(near + DAY)


SPOILT = {
    "the leaf is gone": lambda place: (place / "web.pem").unlink(),
    "its key is gone": lambda place: (place / "web.key").unlink(),
    "the leaf is cut short": lambda place: (place / "web.pem").write_bytes(b"-----BEGIN"),
    "the key is of another": lambda place: (place / "web.key").write_bytes(
        (place / "signer.key").read_bytes()
    ),
}


@pytest.mark.parametrize("spoil", SPOILT.values(), ids=SPOILT.keys())
def test_a_spoilt_leaf_is_made_again(spoil: object, data: Path) -> None:
    root = opened(data).authority.root
    assert callable(spoil)
    spoil(data / "keys" / "tls")
    mended = opened(data)
    assert mended.leaf() is not None
    assert mended.authority.root == root


@pytest.mark.parametrize("name", ["root.pem", "signer.pem", "signer.key"])
@pytest.mark.parametrize("content", [None, b"", b"-----BEGIN CERTIFICATE-----\nAA==\n"])
def test_a_spoilt_authority_is_named_and_not_made_again(
    name: str, content: bytes | None, data: Path
) -> None:
    opened(data)
    file = data / "keys" / "tls" / name
    if content is None:
        file.unlink()
    else:
        file.write_bytes(content)
    with pytest.raises(
        folder.KeysUnusable, match=rf"{name} cannot be used.*copy of the data folder"
    ):
        opened(data)


def test_a_key_of_another_signer_is_found_out(data: Path, tmp_path: Path) -> None:
    opened(data)
    other = tmp_path / "other"
    folder.prepare(other)
    opened(other)
    strange = (other / "keys" / "tls" / "signer.key").read_bytes()
    (data / "keys" / "tls" / "signer.key").write_bytes(strange)
    with pytest.raises(folder.KeysUnusable, match=r"does not fit signer\.pem"):
        opened(data)


def test_anew_sets_the_authority_aside_and_makes_another(data: Path) -> None:
    before = opened(data).authority.root
    after = opened(data, NOW + DAY, ["melna.local"], anew=True)
    assert after.authority.root != before
    assert after.names == ["melna.local"]
    (aside,) = (data / "keys").glob("tls-before-*")
    assert (aside / "root.pem").read_bytes() == before.public_bytes(Encoding.PEM)


def test_a_folder_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    (tmp_path / "keys").write_text("a file where the folder should be")
    with pytest.raises(folder.KeysUnusable, match="Not a directory"):
        opened(tmp_path)


def test_a_clock_before_the_authority_is_told_with_both_dates(data: Path) -> None:
    opened(data)
    with pytest.raises(
        ClockBehind, match=r"clock says 2031-02-01 .* begins on 2031-03-02. Set the"
    ):
        opened(data, datetime(2031, 2, 1, tzinfo=UTC))


def test_a_clock_that_is_a_little_behind_does_no_harm(data: Path) -> None:
    opened(data)
    assert opened(data, NOW - timedelta(hours=20)).leaf() is not None


def test_an_authority_that_is_over_is_told_with_the_remedy(data: Path) -> None:
    ends = opened(data).authority.root.not_valid_after_utc
    with pytest.raises(AuthorityEnded, match=f"ended on {ends:%Y-%m-%d}.*--anew"):
        opened(data, ends)


def test_an_authority_for_another_name_is_not_used(data: Path) -> None:
    opened(data)
    with pytest.raises(
        AuthorityOther, match=r"vouches for orrin\.local and 192\.168\.1\.20, not for"
    ):
        opened(data, names=["melna.local"])
