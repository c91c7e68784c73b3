"""What a label's code says, and that an id has one text and a text one reading."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from nursery.domain import codes, labels
from nursery.domain.codes import Code, What

VECTORS = Path(__file__).parents[1] / "vectors"
CASES: list[dict[str, Any]] = json.loads((VECTORS / "codes.json").read_text(encoding="utf-8"))
READINGS = json.loads((VECTORS / "labels.json").read_text(encoding="utf-8"))
# The alphanumeric set, ISO/IEC 18004 table 5 (from memory).
ALPHANUMERIC = set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")

ids = st.one_of(
    st.uuids().map(str),
    st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=64),
).filter(bool)
things = st.builds(Code, st.sampled_from(What), ids)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_code_is_read_as_its_vector_has_it(case: dict[str, Any]) -> None:
    """Rule G-14."""
    said = case["code"]
    expected = None if said is None else Code(What(said["what"]), said["id"])
    assert codes.read(case["text"]) == expected
    assert expected is None or codes.write(expected) == case["text"]


@given(things)
def test_whatever_is_written_is_read_back(code: Code) -> None:
    assert codes.read(codes.write(code)) == code


@given(things)
def test_a_code_has_signs_of_the_small_set_alone(code: Code) -> None:
    assert set(codes.write(code)) <= ALPHANUMERIC


@given(st.one_of(st.text(), st.from_regex(codes.CODE), st.text("LBP./%A7", max_size=40)))
def test_a_text_of_ours_is_the_only_one_for_its_id(text: str) -> None:
    found = codes.read(text)
    assert found is None or codes.write(found) == text


@given(st.uuids())
def test_the_id_of_a_phone_fits_the_second_smallest_code(ident: Any) -> None:
    """29 signs: what version 2 holds at level Q, ISO/IEC 18004 table 7 (from memory)."""
    assert len(codes.write(Code(What.BATCH, str(ident)))) == 29


@pytest.mark.parametrize(("label", "canonical"), READINGS["canonical"])
def test_a_label_is_written_in_one_way(label: str, canonical: str) -> None:
    """Rule G-12."""
    assert labels.canonical(label) == canonical


@pytest.mark.parametrize(("one", "other", "alike"), READINGS["alike"])
def test_labels_are_look_alikes_as_their_vector_has_it(
    one: str, other: str, *, alike: bool
) -> None:
    """Rule G-13."""
    assert labels.alike(one, other) is labels.alike(other, one) is alike


@pytest.mark.parametrize(("label", "spoken"), READINGS["spoken"])
def test_a_label_is_spoken_as_its_vector_has_it(label: str, spoken: str) -> None:
    assert labels.spoken(label) == spoken
