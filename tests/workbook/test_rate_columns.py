"""The sheet Rate builder as read: a number, and whether its cell says percent; every other fault at its cell."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from quotekit.model.rate import RATE_KINDS, Amount
from quotekit.workbook.rate_columns import RATE_BUILDER
from tests.workbook.books import codes, good_book, read_book


def first_amount(folder: Path, value: Any) -> Amount:
    """The first amount of the good sheet, typed as given."""
    return good_book(folder, {"Rate builder": {"B3": value}}).rate_builder[1].amount


@pytest.mark.parametrize(
    ("typed", "value", "percent"),
    [
        ({"percent": 0.15}, "0.15", True),
        ("15%", "0.15", True),
        ("15 %", "0.15", True),
        (0.15, "0.15", False),
        (15, "15", False),
        (9300, "9300", False),
        (0, "0", False),
        ({"percent": 1}, "1", True),
        ("110%", "1.1", True),
    ],
    ids=["formatted", "text", "text with a space", "a fraction", "15", "money", "zero", "100 %", "above 100 %"],
)
def test_an_amount_keeps_what_its_cell_says(tmp_path: Path, typed: Any, value: str, percent: bool) -> None:
    assert first_amount(tmp_path, typed) == Amount(value=Decimal(value), percent=percent)


@pytest.mark.parametrize(
    ("cell", "typed", "code"),
    [
        ("B2", "$52,000", "text-number"),
        ("B2", "52 000", "text-number"),
        ("B3", "15 pct", "text-number"),
        ("B3", "15 percent", "text-number"),
        ("B3", "about 15%", "not-a-number"),
        ("B3", {"percent": 2.5}, "percent-too-big"),
        ("B3", "-15%", "negative"),
        ("B2", -1, "negative"),
        ("B2", True, "not-a-number"),
        ("B2", "", "blank-required"),
        ("A2", "", "blank-required"),
        ("C2", "", "blank-required"),
        ("C2", "wage", "not-a-word"),
    ],
)
def test_a_fault_is_at_its_cell(tmp_path: Path, cell: str, typed: Any, code: str) -> None:
    book, problems = read_book(tmp_path, {"Rate builder": {cell: typed}})
    assert codes(problems) == [(code, "Rate builder", cell)]
    assert book is not None and len(book.rate_builder) == 13


@pytest.mark.parametrize(
    "typed", ["Share at the bench", "SHARE AT THE BENCH", "shareatthebench", " share at the bench"]
)
def test_kinds_are_read_in_any_case(tmp_path: Path, typed: str) -> None:
    assert good_book(tmp_path, {"Rate builder": {"C8": typed}}).rate_builder[6].kind == "share at the bench"


def test_rows_keep_their_cells(tmp_path: Path) -> None:
    line = good_book(tmp_path).rate_builder[0]
    assert (line.line, line.kind, str(line.source.place("Amount"))) == ("Owner", "pay", "prices.xlsx:Rate builder!B2")


def test_the_sheet_may_be_missing(tmp_path: Path) -> None:
    assert good_book(tmp_path, without=("Rate builder",)).rate_builder == ()


def test_the_drop_down_offers_every_kind() -> None:
    kind = RATE_BUILDER.columns[2]
    assert (kind.kind, kind.words) == ("word", RATE_KINDS)
