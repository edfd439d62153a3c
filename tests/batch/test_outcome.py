"""An outcome as it travels and is kept: what comes out is what went in, and equal outcomes are equal bytes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.batch.outcome import Outcome, pack, unpack
from quotekit.problems import Place

ANY_TEXT = st.text(st.characters(codec=None))
"""Also halves of a pair, as a file name that is no proper text has them."""


@given(
    outcome=st.builds(
        Outcome,
        file=ANY_TEXT,
        kind=st.sampled_from(["job", "shop book", "quote", "costing", "other"]),
        line=ANY_TEXT,
        customer=ANY_TEXT,
        machine=ANY_TEXT,
        photos=st.lists(st.tuples(ANY_TEXT, st.builds(Place, ANY_TEXT, ANY_TEXT, ANY_TEXT)), max_size=3).map(tuple),
        figures=ANY_TEXT,
    )
)
def test_what_is_unpacked_is_what_was_packed(outcome: Outcome) -> None:
    assert unpack(pack(outcome)) == outcome
    assert pack(unpack(pack(outcome))) == pack(outcome)


@pytest.mark.parametrize("text", ["a\nb", "\n", "\r\n", "\udcff.xlsx", 'a "quoted" \\ text', ""])
def test_texts_that_could_be_taken_for_something_else(text: str) -> None:
    """An end of line in what is told does not end it; one in the line is the line's."""
    outcome = Outcome(file=text, kind="job", line=text, customer=text, machine=text, figures=text)
    assert unpack(pack(outcome)) == outcome


def test_a_line_is_made_small() -> None:
    line = '{"job": "2611-01", "tiers": [' + ", ".join(['{"code": "best", "total": "1019.06"}'] * 100) + "]}"
    assert len(pack(Outcome(file="2611-01.xlsx", kind="job", line=line))) < len(line) / 6
