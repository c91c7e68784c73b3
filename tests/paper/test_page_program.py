"""The program inside the page, run in Node: its hashes, its signatures, and the same verdicts.

The signatures are the tests of RFC 8032 section 7.1 and the hashes those of FIPS 180-4, written
here from memory; each is also held against the libraries that Python has.
"""

import hashlib
import json
import random
import subprocess
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from nursery.paper import bundle_check, shell
from nursery.services import signing
from tests.paper import releases
from tests.steps import ROOT

RUNNER = ROOT / "tests/paper/program.js"
PAGE = ROOT / "nursery/paper/release_page"
ORDER = 2**252 + 27742317777372353535851937790883648493

# Secret key, public key, message, signature.
RFC_8032 = (
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        (
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701c"
            "f9b46bd25bf5f0595bbe24655141438e7a100b"
        ),
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        (
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0"
            "f11d8c387b2eaeb4302aeeb00d291612bb0c00"
        ),
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        (
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f76098"
            "4dc6594a7c15e9716ed28dc027beceea1ec40a"
        ),
    ),
)
ABC_512 = (
    "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a"
    "2192992a274fc1a836ba3c23a3feebbd454d4423643ce80e2a9ac94fa54ca49f"
)
ABC_256 = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
# Around the edges of their blocks.
LENGTHS = (0, 1, 55, 56, 63, 64, 65, 111, 112, 127, 128, 129, 1000)


@pytest.fixture(autouse=True)
def key(settings: Any) -> None:
    settings.SIGNING_KEYS = [releases.SECRET]


def run(*asked: dict[str, Any]) -> list[Any]:
    files = [str(PAGE / name) for name in shell.PROGRAM if name != "show.js"]
    done = subprocess.run(
        ["node", str(RUNNER), *files],
        input=json.dumps(asked),
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    answers: list[Any] = json.loads(done.stdout)
    return answers


def test_hashes_are_the_published_ones_and_those_of_python() -> None:
    data = [bytes(at * 7 % 256 for at in range(length)) for length in LENGTHS]
    for name, published in (("sha256", ABC_256), ("sha512", ABC_512)):
        asked = [{"do": name, "data": one.hex()} for one in (b"abc", *data)]
        assert run(*asked) == [published, *(hashlib.new(name, one).hexdigest() for one in data)]


def test_the_published_signatures_hold_and_no_bent_one() -> None:
    asked = []
    for secret, public, message, signature in RFC_8032:
        made = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(secret))
        assert made.public_key().public_bytes_raw().hex() == public
        assert made.sign(bytes.fromhex(message)).hex() == signature
        told = {"do": "signed", "key": public, "message": message, "signature": signature}
        asked += [told, {**told, "message": message + "00"}]
        asked += [{**told, "signature": flipped(signature, at)} for at in (0, 31, 32, 60)]
        asked.append({**told, "key": flipped(public, 5)})
    assert run(*asked) == [True, *[False] * 6] * len(RFC_8032)


def flipped(text: str, at: int) -> str:
    content = bytearray.fromhex(text)
    content[at] ^= 1
    return content.hex()


def test_a_signature_in_a_second_form_does_not_hold() -> None:
    """S and S + L are the same number to the curve; only the lesser one is a signature."""
    _, public, message, signature = RFC_8032[1]
    s = int.from_bytes(bytes.fromhex(signature)[32:], "little") + ORDER
    longer = signature[:64] + s.to_bytes(32, "little").hex()
    told = {"do": "signed", "key": public, "message": message}
    short = {**told, "signature": signature[:-2]}
    assert run({**told, "signature": longer}, short, {**short, "key": "ab"}) == [False] * 3
    assert not signing.signed_by(
        bytes.fromhex(public), bytes.fromhex(message).decode(), bytes.fromhex(longer)
    )


def test_a_key_that_is_no_point_signs_nothing() -> None:
    _, _, message, signature = RFC_8032[1]
    beyond = (2**255 - 1).to_bytes(32, "little").hex()
    off_the_curve = (2).to_bytes(32, "little").hex()
    told = {"do": "signed", "message": message, "signature": signature}
    assert run({**told, "key": beyond}, {**told, "key": off_the_curve}) == [False, False]


def test_fingerprints_are_the_same() -> None:
    keys = [bytes([at]) * 32 for at in range(5)]
    asked = [{"do": "fingerprint", "key": one.hex()} for one in keys]
    assert run(*asked) == [signing.fingerprint(one) for one in keys]


def test_a_whole_file_holds(tmp_path: Path) -> None:
    file = tmp_path / "file.html"
    made = releases.scene_bundle()
    file.write_bytes(made.content)
    (found,) = run({"do": "check", "file": str(file)})
    ours = bundle_check.check(made.content)
    assert found["faults"] == [] == list(ours.faults)
    assert (found["fingerprint"], found["seal"]) == (ours.fingerprint, ours.seal)
    assert (found["size"], found["records"], found["at"]) == (ours.size, ours.records, ours.at)


def test_bent_files_get_the_same_verdict_as_from_the_command(tmp_path: Path) -> None:
    """Some hundred bits of all parts, chosen by a fixed seed; the command is tried with all."""
    photos = {"picture-1": b"\xff\xd8 one \xff\xd9"}
    content = releases.small_bundle(photos).content
    file = tmp_path / "file.html"
    file.write_bytes(content)
    start = content.index(bundle_check.STARTS) + len(bundle_check.STARTS)
    end = content.index(bundle_check.ENDS, start)
    chance = random.Random(8)
    bits = [(chance.randrange(start, end), chance.randrange(8)) for _ in range(300)]
    bits += [(chance.randrange(len(content)), chance.randrange(8)) for _ in range(30)]
    theirs = run({"do": "bent", "file": str(file), "bits": bits})[0]
    bent = bytearray(content)
    for (at, bit), faults in zip(bits, theirs, strict=True):
        bent[at] ^= 1 << bit
        assert list(bundle_check.check(bytes(bent)).faults) == faults, (at, bit)
        bent[at] = content[at]
