"""Records, fields and quotes found from bytes alone, against an automaton that goes character by character."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.suppliers import record_scan
from quotekit.suppliers.record_scan import records_at, scan_records

PIECES = st.sampled_from(["a", ",", '"', "\n", '"a"', '"a,b"', '""', '"x""y"', '"p\nq"', ",", "\n", "é", "\r\n"])


def by_hand(text: str) -> list[tuple[int, int]] | None:
    """End (in bytes) and separators of each record, or None where quotes are not as RFC 4180 has them."""
    found: list[tuple[int, int]] = []
    state, fields, at = "start", 0, 0
    for place, letter in enumerate(text):
        at += len(letter.encode())
        if letter == '"':
            if state == "plain":
                return None
            state = {"start": "inside", "inside": "closed", "closed": "inside"}[state]
        elif state == "inside":
            continue
        elif letter == ",":
            state, fields = "start", fields + 1
        elif letter == "\n":
            found.append((at, fields))
            state, fields = "start", 0
        elif state == "closed":
            if text[place : place + 2] != "\r\n" and text[place:] != "\r":
                return None
        else:
            state = "plain"
    if state == "inside":
        return None
    return [*found, (at, fields)] if text and not text.endswith("\n") else found


@settings(max_examples=400)
@given(st.lists(PIECES, max_size=14).map("".join), st.sampled_from([8, 16, 1 << 20]))
def test_the_scan_agrees_with_the_automaton(text: str, block: int) -> None:
    """Also where a block ends within a field, between two quotes, or between the two halves that are read at once."""
    expected = by_hand(text)
    kept = record_scan._BLOCK
    record_scan._BLOCK = block
    try:
        found = scan_records(text.encode(), ",")
    finally:
        record_scan._BLOCK = kept
    assert found.sound is (expected is not None)
    if expected is not None:
        assert list(zip(found.ends.tolist(), found.separators.tolist(), strict=True)) == expected


@pytest.mark.parametrize(
    ("text", "sound"),
    [
        ('1,"3/4 in, black"\n', True),
        ('1,"3/4"" belt"\n', True),
        ('1,3/4" belt\n', False),
        ('1,"A" SEAL\n', False),
        ('1,"never closed\n', False),
        ('1, "space before"\n', False),
        ('1,"a"\r\n', True),
    ],
)
def test_quotes_that_belong_and_quotes_that_do_not(text: str, sound: bool) -> None:
    assert scan_records(text.encode(), ",").sound is sound


def test_without_quotes_a_quote_is_a_character() -> None:
    found = scan_records(b'1,3/4" belt\n2,1/2" seal\n', ",", quoted=False)
    assert found.sound and found.separators.tolist() == [1, 1]


def test_line_ends_within_a_text_are_counted() -> None:
    assert scan_records(b'1,"a\nb\nc"\n2,d\n', ",").lines_within == 2


def test_the_records_themselves() -> None:
    import numpy as np

    data = b"a,b\r\nc\nd,e,f"
    assert list(records_at(data, scan_records(data, ","), np.array([0, 2]))) == [b"a,b", b"d,e,f"]
