"""Outcomes one after the other in a file: whole ones are read back, torn ones are never taken for whole."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.kept_frames import FRAME_BYTES, HEAD_BYTES, frame, key_of, read_head, read_rest

KEY = key_of("a")


def read_back(data: bytes) -> tuple[bytes, bytes] | None:
    head = read_head(data[:HEAD_BYTES])
    return None if head is None else read_rest(head, data[HEAD_BYTES : HEAD_BYTES + head.length])


@given(st.binary(min_size=1, max_size=300))
def test_a_frame_reads_back(packed: bytes) -> None:
    framed = frame(KEY, packed)
    assert read_back(framed) == (KEY, packed)
    assert len(framed) == FRAME_BYTES + len(packed)


@given(st.binary(min_size=1, max_size=80), st.data())
def test_a_torn_frame_is_none(packed: bytes, data: st.DataObject) -> None:
    """A run may be killed at any byte of its last frame."""
    framed = frame(KEY, packed)
    assert read_back(framed[: data.draw(st.integers(0, len(framed) - 1))]) is None


@given(st.binary(min_size=1, max_size=80), st.data())
def test_a_changed_byte_is_seen(packed: bytes, data: st.DataObject) -> None:
    framed = bytearray(frame(KEY, packed))
    at = data.draw(st.integers(0, len(framed) - 1))
    framed[at] ^= data.draw(st.integers(1, 255))
    assert read_back(bytes(framed)) != (KEY, packed)


@given(st.lists(st.text(max_size=4), max_size=4), st.lists(st.text(max_size=4), max_size=4))
def test_keys_are_of_the_texts_and_their_places(one: list[str], other: list[str]) -> None:
    assert (key_of(*one) == key_of(*other)) == (one == other)


@pytest.mark.parametrize("name", ["job.xlsx", "Übung.xlsx", "\udcff.xlsx"])
def test_any_file_name_has_a_key(name: str) -> None:
    """A name that is no text of the system's encoding comes as a lone surrogate."""
    assert len(key_of(name)) == 32
