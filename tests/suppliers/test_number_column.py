"""A column of amounts is exact to the last digit, whatever polars would have made of it."""

from __future__ import annotations

from decimal import Decimal

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.number_column import from_millionths, in_millionths, read_number_column
from quotekit.suppliers.number_texts import NumberStyle, NumberText, read_number

POINT, COMMA = NumberStyle(grouping_mark=","), NumberStyle(decimal_mark=",", grouping_mark=".")


def values(texts: list[str], style: NumberStyle = POINT) -> list[Decimal | None]:
    found = read_number_column(pl.Series(texts, dtype=pl.String), style)
    return [from_millionths(whole) for whole in found.values.to_list()]


def test_plain_and_odd_texts_side_by_side() -> None:
    texts = ["12.50", "", "$1,250.00", "3-", "POA", "0.1", "999999999999.999999"]
    expected = ["12.5", None, "1250", "-3", None, "0.1", "999999999999.999999"]
    assert values(texts) == [None if text is None else Decimal(text) for text in expected]


@pytest.mark.parametrize(
    "text", ["1e3", "1E+05", "1.1234567", "1234567890123", "nan", "inf", "0x10", "1_000", "9" * 60]
)
def test_what_the_library_takes_or_rounds_is_not_taken(text: str) -> None:
    """Its own reading of 1.1234567 is 1.123457 and of 1e3 a thousand, without a word."""
    found = read_number_column(pl.Series([text, "1"]), POINT)
    assert found.values.to_list() == [None, 1_000_000]
    assert isinstance(found.odd[text], str)


def test_a_sum_of_many_is_exact() -> None:
    """Ten cents a hundred thousand times over is ten thousand; in binary fractions it is not."""
    found = read_number_column(pl.Series(["0.1"] * 100_000), POINT)
    assert from_millionths(found.values.sum()) == Decimal(10_000)


def test_a_column_of_blanks() -> None:
    found = read_number_column(pl.Series(["", ""]), POINT)
    assert found.values.to_list() == [None, None] and found.odd == {}


def test_another_reader_for_odd_texts() -> None:
    """Packs say `C` for a hundred."""

    def hundred(text: str) -> NumberText | str:
        return NumberText(value=Decimal(100)) if text == "C" else "no"

    assert read_number_column(pl.Series(["C", "5", "D"]), POINT, hundred).values.to_list() == [
        100_000_000,
        5_000_000,
        None,
    ]


number_texts = st.one_of(
    st.decimals(min_value=-(10**11), max_value=10**11, places=2).map(str),
    st.decimals(min_value=0, max_value=10**6, places=6).map(lambda amount: f"{amount:f}"),
    st.integers(min_value=0, max_value=10**14).map(str),
    st.text(alphabet="0123456789.,-+e $€", max_size=12),
)


@given(st.lists(number_texts, max_size=30), st.sampled_from([POINT, COMMA]))
def test_the_column_agrees_with_reading_each_text(texts: list[str], style: NumberStyle) -> None:
    """The quick way for plain texts and the slow way for all give the same Decimal, or none, for every text."""
    texts = [text.strip() for text in texts]
    one_by_one = [found.value if isinstance(found := read_number(text, style), NumberText) else None for text in texts]
    assert values(texts, style) == one_by_one


@given(st.decimals(min_value=-(10**12), max_value=10**12, places=6))
def test_millionths_and_back(amount: Decimal) -> None:
    assert from_millionths(in_millionths(amount)) == amount


def test_more_decimals_than_fit_are_an_error_of_ours() -> None:
    with pytest.raises(ValueError, match="more than 6 decimals"):
        in_millionths(Decimal("0.0000001"))
