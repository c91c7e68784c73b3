"""A signed file: it holds as it was made, and not with any byte, part or key changed."""

import random
import re
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import orjson
import pytest

from nursery.paper import bundle, bundle_check, release_words, shell
from nursery.paper.bundle_check import FIRST, check
from nursery.services import signing, words
from nursery.services.errors import NothingToSignWith
from tests.paper import releases

PHOTOS = {"picture-1": b"\xff\xd8 one \xff\xd9", "picture-2": b"\xff\xd8 two \xff\xd9"}
PARTS = re.compile(
    r"shell|key|seal|manifest|checkpoint|proof|file|record \d+|photo picture-\d|form"
)

MANIFEST = {"manifest"}
PART_NAMES = [*(name for name, _ in FIRST), "shell", "record", "photo", "form"]
ALL_RECORDS = {f"record {seq}" for seq in (1, 3, 4, 7)}


@pytest.fixture(autouse=True)
def key(settings: Any) -> None:
    settings.SIGNING_KEYS = [releases.SECRET]


@pytest.fixture
def content() -> bytes:
    return releases.small_bundle(PHOTOS).content


def where(content: bytes) -> tuple[int, int]:
    """Return where the payload begins and ends."""
    start = content.index(bundle_check.STARTS) + len(bundle_check.STARTS)
    return start, content.index(bundle_check.ENDS, start)


def lines_of(content: bytes) -> list[Any]:
    start, end = where(content)
    return [orjson.loads(line) for line in content[start:end].split(b"\n")]


def with_lines(content: bytes, lines: list[Any]) -> bytes:
    start, end = where(content)
    return content[:start] + b"\n".join(map(bundle.written, lines)) + content[end:]


def test_a_file_as_it_was_made_holds(content: bytes) -> None:
    found = check(content)
    assert found.holds, found.faults
    assert (found.records, found.size, found.own_shell) == (4, 7, True)
    assert found.at == "2031-05-20T08:00:00.000Z"
    assert found.seal is not None
    assert (found.seal["nursery"], found.seal["consignment"]) == ("veshmere", "c-1")
    assert found.fingerprint == signing.of("veshmere").fingerprint


def test_the_same_book_on_the_same_day_gives_the_same_bytes(content: bytes) -> None:
    assert releases.small_bundle(PHOTOS).content == content


def test_every_byte_flipped_is_found_and_named(content: bytes) -> None:
    """One bit of every byte of the whole file, each of the eight in turn."""
    bent = bytearray(content)
    for at in range(len(bent)):
        bent[at] ^= 1 << at % 8
        faults = check(bytes(bent)).faults
        assert faults, f"byte {at} is free"
        assert all(PARTS.fullmatch(fault) for fault in faults)
        bent[at] = content[at]


def test_every_bit_of_the_parts_is_found_in_its_own_part(content: bytes) -> None:
    start, end = where(content)
    owners = [name for line in lines_of(content) for name in [called(line)] * length(line)]
    bent = bytearray(content)
    for at in range(start, end):
        for bit in range(8):
            bent[at] ^= 1 << bit
            faults = check(bytes(bent)).faults
            bent[at] = content[at]
            assert owners[at - start] in faults, (at, bit, faults)
            # The end of a line takes the next one along; any other byte is of one part alone.
            assert len(faults) == 1 or content[at : at + 1] == b"\n" or at + 1 == end, (at, faults)


def test_any_byte_of_a_whole_consignment_s_file_is_found_in_its_own_part() -> None:
    """Of every part of a large file some bytes, chosen by a fixed seed, photos included."""
    release = releases.of_scene()
    photos = {f"picture-{at}": bytes(range(256)) * at for at in (1, 2)}
    content = bundle.make(release, release_words.pages(release.facts), photos).content
    start, end = where(content)
    bent, chance, at = bytearray(content), random.Random(31), start
    names = []
    for line in lines_of(content):
        size = length(line) - 1
        names.append(called(line))
        for place in {at, at + size - 1, *(at + chance.randrange(size) for _ in range(4))}:
            bent[place] ^= 1 << chance.randrange(8)
            assert called(line) in check(bytes(bent)).faults, (called(line), place - at)
            bent[place] = content[place]
        at += size + 1
    assert {"photo picture-1", "photo picture-2", "checkpoint", "proof"} <= set(names)
    around = [chance.randrange(start) for _ in range(40)]
    around += [chance.randrange(end, len(content)) for _ in range(40)]
    for place in around:
        bent[place] ^= 1 << chance.randrange(8)
        assert check(bytes(bent)).faults == ("shell",), place
        bent[place] = content[place]


def called(line: list[Any]) -> str:
    """Return the name of a part, as a check tells it."""
    return f"{line[0]} {line[1]}" if line[0] in ("record", "photo") else str(line[0])


def length(line: list[Any]) -> int:
    """Return how many bytes a part takes, with the end of its line."""
    return len(bundle.written(line)) + 1


@pytest.mark.parametrize("at", [0, 1, 3])
def test_upper_case_hex_is_not_what_was_written(content: bytes, at: int) -> None:
    """It stands for the same bytes, so only the way of writing tells."""
    parts = lines_of(content)
    parts[at][-1] = parts[at][-1].upper()
    assert check(with_lines(content, parts)).faults[:1] == (FIRST[at][0],)


def numbered(parts: list[Any], value: object) -> list[Any]:
    """Return the parts with another number in the first record, one that Python takes for 1."""
    return [*parts[:6], ["record", value, *parts[6][2:]], *parts[7:]]


CHANGES: list[tuple[str, Any, set[str]]] = [
    ("a record left out", lambda parts: parts[:6] + parts[7:], {"record 1"}),
    ("the last left out", lambda parts: parts[:9] + parts[10:], {"record 7"}),
    ("all left out", lambda parts: parts[:6], {*ALL_RECORDS, "photo picture-1", "photo picture-2"}),
    (
        "two records swapped",
        lambda parts: [*parts[:6], parts[7], parts[6], *parts[8:]],
        {"form"},
    ),
    ("a record twice", lambda parts: [*parts, parts[9]], {"form"}),
    ("a line behind", lambda parts: [*parts, ["note", "x"]], {"form"}),
    ("a number that is a yes", lambda parts: numbered(parts, value=True), {"record 1"}),
    ("a number with a point", lambda parts: numbered(parts, value=1.0), {"record 1"}),
    ("a photo left out", lambda parts: parts[:-1], {"photo picture-2"}),
    ("no proof", lambda parts: [*parts[:4], ["proof", []], *parts[5:]], {"proof"}),
    ("no line for it", lambda parts: [*parts[:4], *parts[5:]], {"proof"}),
    ("a proof of numbers", lambda parts: [*parts[:4], ["proof", [7]], *parts[5:]], {"proof"}),
    ("other facts", lambda parts: [*parts[:5], ["file", "{}"], *parts[6:]], {"file"}),
    ("a key of another kind", lambda parts: [["key", 7], *parts[1:]], {"key"}),
    ("a key that is too short", lambda parts: [["key", "ab"], *parts[1:]], {"key"}),
    (
        "a list of another kind",
        lambda parts: [*parts[:2], ["manifest", 7], *parts[3:]],
        {"manifest"},
    ),
    (
        "a record of numbers",
        lambda parts: [*parts[:6], ["record", 1, 2, 3, 4], *parts[7:]],
        {"record 1"},
    ),
]


@pytest.mark.parametrize(
    ("change", "faults"), [one[1:] for one in CHANGES], ids=[one[0] for one in CHANGES]
)
def test_a_changed_part_is_named(content: bytes, change: Any, faults: set[str]) -> None:
    assert set(check(with_lines(content, change(lines_of(content)))).faults) == faults


@pytest.mark.parametrize("junk", [b"", b"x", b"<html>", b"\xff" * 50, bundle_check.STARTS])
def test_what_is_no_such_file_is_refused(junk: bytes) -> None:
    assert not check(junk).holds


def test_a_text_nested_without_end_is_refused(content: bytes) -> None:
    start, end = where(content)
    deep = b"[" * 500 + b"]" * 500
    assert check(content[:start] + deep + content[end:]).faults == ("key",)


def test_bytes_behind_the_page_belong_to_it(content: bytes) -> None:
    assert check(content + b"\n").faults == ("shell",)


# Keys


def test_the_key_asked_for_holds_however_it_is_written(content: bytes) -> None:
    name = signing.of("veshmere").fingerprint
    assert check(content, name).holds
    assert check(content, name.lower().replace("-", " ")).holds
    assert check(content, name[:-1] + ("A" if name[-1] != "A" else "B")).faults == ("key",)
    assert check(content, "").faults == ("key",)


def test_a_file_signed_with_another_nursery_s_key_does_not_hold(content: bytes) -> None:
    ours = signing.of("veshmere").fingerprint
    theirs = bundle.make(replace(releases.small(), nursery="brask"), {}).content
    assert check(theirs).holds
    assert check(theirs, ours).faults == ("key",)


def test_another_s_key_in_the_place_of_ours_does_not_hold(content: bytes) -> None:
    parts = lines_of(content)
    parts[0] = ["key", signing.of("brask").public]
    assert check(with_lines(content, parts)).faults == ("key",)


def test_statements_signed_anew_by_another_name_no_longer_the_key_asked_for(content: bytes) -> None:
    """Whoever signs everything anew has another key, and that is all that gives them away."""
    other, parts = signing.of("brask"), lines_of(content)
    parts[0] = ["key", other.public]
    for at in (1, 3):
        parts[at] = [parts[at][0], parts[at][1], other.sign(parts[at][1])]
    forged = with_lines(content, parts)
    assert check(forged).faults == ("seal",)  # it still names the first key
    assert check(forged, signing.of("veshmere").fingerprint).faults == ("seal",)


def test_a_checkpoint_of_another_book_does_not_stand_for_this_one(content: bytes) -> None:
    parts = lines_of(content)
    grown = replace(releases.small(), links=(*releases.small().links, "ab" * 32))
    parts[3] = lines_of(bundle.make(grown, {}).content)[3]
    assert "checkpoint" in check(with_lines(content, parts)).faults


# What is in it


def test_a_page_cannot_be_closed_by_what_a_record_says(content: bytes) -> None:
    start, end = where(content)
    assert b"<" not in content[start:end]
    assert "</script>" in lines_of(content)[7][4]


def test_the_digest_is_that_of_the_seal() -> None:
    made = releases.small_bundle()
    assert made.digest == sha256(lines_of(made.content)[1][1].encode()).hexdigest()


def test_the_page_lets_nothing_in_and_nothing_out() -> None:
    before, after = shell.halves()
    page = (before + after).decode()
    assert "default-src 'none'" in page
    assert not re.findall(r"https?://(?!www\.w3\.org)", page)
    assert "fetch(" not in page
    assert "innerHTML" not in page


def test_every_sentence_that_the_page_says_is_in_the_catalogues() -> None:
    page = Path(shell.__file__).with_name("release_page")
    said = set(re.findall(r'say\("([a-z_.]+)"', (page / "show.js").read_text()))
    assert len(said) > 10
    named = {f"part.{name}" for name in PART_NAMES}
    for language in words.languages():
        missing = {key for key in said | named if not words.has(language, f"proof.{key}")}
        assert missing == set()


def test_without_a_secret_nothing_is_signed(settings: Any, tmp_path: Any) -> None:
    settings.SIGNING_KEYS, settings.SIGNING_FILE = [], tmp_path / "none"
    with pytest.raises(NothingToSignWith):
        releases.small_bundle()
