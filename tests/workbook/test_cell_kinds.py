"""What hangs on the kind of a column: a life of a part is no span of minutes, and a blank text was never a zero."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.problems import Place
from quotekit.workbook.cell_kinds import read_kind
from quotekit.workbook.choice_columns import EXTRAS, REMEDIES
from quotekit.workbook.column import Column, Kind
from quotekit.workbook.grid import Cell
from quotekit.workbook.rows import blank_required

PLACE = Place("prices.xlsx", "Remedies", "H2")
LIFE = Column(header="Life years", kind="life", help="")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("100.01", "too-big"),
        ("100", ""),
        ("0.5", ""),
        ("0.01", ""),
        ("0.00999", "life-too-short"),
        ("0.0001", "life-too-short"),
        ("0", "zero"),
        ("-0.001", "negative"),
        ("-1", "negative"),
    ],
)
def test_a_life_lies_from_a_hundredth_of_a_year_to_a_hundred_years(typed: str, code: str) -> None:
    """A shorter one comes round more than a hundred times a year, and each time is a sum of its own."""
    value, problem = read_kind(Cell("H2", Decimal(typed), typed, False, 2, 8), PLACE, LIFE)
    assert (problem.code if problem else "") == code
    assert value == (None if code else Decimal(typed))


def test_a_life_typed_as_text_is_told_as_any_number_is() -> None:
    value, problem = read_kind(Cell("H2", "0.001", "0.001", False, 2, 8), PLACE, LIFE)
    assert value is None and problem is not None and problem.code == "text-number"


def test_every_column_of_lives_has_the_bound() -> None:
    kinds = [each.kind for sheet in (REMEDIES, EXTRAS) for each in sheet.columns if each.header == "Life years"]
    assert kinds == ["life", "life"]


def test_a_horizon_may_be_any_span_above_zero() -> None:
    """Years to compare repeats nothing by itself."""
    horizon = Column(header="Years to compare", kind="years", help="")
    assert read_kind(Cell("B9", Decimal("0.005"), "0.005", False, 9, 2), PLACE, horizon) == (Decimal("0.005"), None)


@pytest.mark.parametrize(
    ("kinds", "remedy"),
    [
        (("hours", "money", "percent", "markup", "amount", "life"), "Fill it in; a blank is never taken as zero."),
        (("text", "code", "codes", "word", "date", "yes/no", "quantities"), "Fill it in."),
    ],
)
def test_zero_is_spoken_of_where_a_number_is_missing(kinds: tuple[Kind, ...], remedy: str) -> None:
    assert {blank_required(PLACE, "It", kind).remedy for kind in kinds} == {remedy}


def test_what_a_column_says_of_its_blank_goes_first() -> None:
    assert blank_required(PLACE, "Operations", "codes", "Name its operations.").remedy == "Name its operations."
