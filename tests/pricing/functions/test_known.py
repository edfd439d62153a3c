"""Whatever cells hold, each function gives a figure or a reason: nothing is raised into a spreadsheet."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import ShopBook
from quotekit.pricing.functions.asked import Asked, Given, Reason, Refused, did_you_mean, find_code, listed
from quotekit.pricing.functions.known import BY_NAME, FUNCTIONS, CellFunction, work_out
from tests.pricing.functions.test_remedy_price import a_book
from tests.random_jobs import a_random_case, seeds

WORDS = ["BUSH", "FIT", "SEAL-UP", "left", "both", "all", "Thrower", "Yes", "parts", "labour", "2026-03-02", "@", ";"]
CELLS: st.SearchStrategy[Any] = (
    st.none()
    | st.booleans()
    | st.dates()
    | st.text(max_size=12)
    | st.sampled_from(WORDS)
    | st.decimals(allow_nan=False, allow_infinity=False)
    | st.decimals(0, 500, places=2)
)
ARGUMENTS = CELLS | st.lists(st.lists(CELLS, min_size=1, max_size=2).map(tuple), min_size=1, max_size=2).map(tuple)
BOOK = a_book()


@pytest.mark.parametrize("function", FUNCTIONS, ids=[function.name for function in FUNCTIONS])
@given(arguments=st.lists(ARGUMENTS, max_size=6))
def test_a_figure_or_a_reason(function: CellFunction, arguments: list[Given]) -> None:
    """A reason is two sentences: why, and what to do."""
    _check(function, BOOK, arguments)


@given(seed=seeds(), arguments=st.lists(ARGUMENTS, min_size=1, max_size=5))
def test_of_any_shop(seed: int, arguments: list[Given]) -> None:
    book, _ = a_random_case(seed)
    arguments = [next(iter(book.operations)) if one == "FIT" else one for one in arguments]
    for function in FUNCTIONS:
        _check(function, book, arguments)


def _check(function: CellFunction, book: ShopBook, arguments: list[Given]) -> None:
    names = [argument.name for argument in function.arguments]
    asked = Asked(book=book, day=date(2026, 3, 2), given=dict(zip(names, arguments, strict=False)))
    answer = work_out(function, asked)
    if isinstance(answer, Reason):
        assert answer.why.endswith(".") and answer.advice.endswith((".", "?")), answer
    else:
        assert answer >= 0


def test_the_table() -> None:
    """Names once; needed arguments stand first; each can be left blank or is asked for by its name."""
    assert list(BY_NAME) == [function.name for function in FUNCTIONS]
    for function in FUNCTIONS:
        optional = [argument.optional for argument in function.arguments]
        assert optional == sorted(optional) and not optional[0]
        empty = work_out(function, Asked(book=BOOK, day=date(2026, 3, 2), given={}))
        assert isinstance(empty, Reason)


@pytest.mark.parametrize(
    ("word", "expected"),
    [("bush", "BUSH"), ("BUSH", "BUSH"), ("BUSCH", "Did you mean BUSH?"), ("QQQQ", "Use one of Remedies.")],
)
def test_codes(word: str, expected: str) -> None:
    """Without case, spelled as the row that defines it; the nearest where there is none."""
    try:
        assert find_code(word, ["BUSH", "SEAL"], "Remedies") == expected
    except Refused as refused:
        assert refused.reason.advice == expected


def test_words_for_sentences() -> None:
    assert did_you_mean("x", []) == "" and listed([]) == ""
    assert listed([str(number) for number in range(9)]) == "0; 1; 2; 3; 4; 5; 6; 7; ..."
    assert str(Reason(why="No.", advice="Do.")) == "No. Do."


def test_codes_as_numbers() -> None:
    """A code typed as a number is its digits; one that a spreadsheet no longer holds exactly is none."""
    asked = Asked(book=BOOK, day=date(2026, 3, 2), given={"a": Decimal("1010.0"), "b": Decimal("1E+20")})
    assert (asked.text("a"), asked.text("b")) == ("1010", "1e+20")
