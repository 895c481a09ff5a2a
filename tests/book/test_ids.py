"""Ids are UUIDv7 as RFC 9562 has them."""

from __future__ import annotations

import uuid

from core.book import ids
from hypothesis import given
from hypothesis import strategies as st

instants = st.integers(0, (1 << 48) - 1)
bits = st.integers(0, (1 << 74) - 1)


def test_the_published_vector() -> None:
    # RFC 9562, appendix A.6: 2022-02-22T14:22:22-05:00, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F
    made = ids.uuid7(1645557742000, 0xCC3 << 62 | 0x18C4DC0C0C07398F)
    assert made == "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
    assert ids.is_uuid7(made)
    assert ids.at_text(ids.ms_of(made)) == "2022-02-22T19:22:22.000Z"


@given(instants, bits)
def test_every_id_is_a_version_7_uuid_of_its_instant(ms: int, random_bits: int) -> None:
    made = ids.uuid7(ms, random_bits)
    read = uuid.UUID(made)
    assert str(read) == made
    assert read.version == 7
    assert read.variant == uuid.RFC_4122
    assert ids.is_uuid7(made)
    assert ids.ms_of(made) == ms


@given(instants, bits, instants, bits)
def test_ids_sort_as_their_instants(a: int, a_bits: int, b: int, b_bits: int) -> None:
    if a < b:
        assert ids.uuid7(a, a_bits) < ids.uuid7(b, b_bits)


def test_other_texts_are_no_ids() -> None:
    good = ids.uuid7(1, 1)
    for text in (
        "",
        "x" * 36,
        good.upper().replace("7", "4"),
        good[:-1],
        good[:14] + "4" + good[15:],
        good + "0",
    ):
        assert not ids.is_uuid7(text)
    assert not ids.is_uuid7(str(uuid.uuid4()))


def test_chance_gives_74_bits_that_differ() -> None:
    drawn = {ids.chance() for _ in range(200)}
    assert len(drawn) == 200
    assert max(drawn) < 1 << 74
