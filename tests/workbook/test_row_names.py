"""How a row is called in a sentence: by code and name, or by what it is about; the same sheet name of book and job."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.source import NOWHERE
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.row_names import row_name
from quotekit.workbook.rows import Row


def a_row(**values: Any) -> Row:
    return Row(source=NOWHERE, values=values)


def sheet(name: str, *, of_job: bool = False) -> SheetColumns:
    return next(one for one in (JOB_WORKBOOK if of_job else SHOP_BOOK) if one.name == name)


@pytest.mark.parametrize(
    ("name", "values", "expected"),
    [
        ("Parts", {"code": "SEAL-19", "part": "Oil seal"}, "SEAL-19 (Oil seal)"),
        ("Parts", {"code": "SEAL-19"}, "SEAL-19"),
        ("Parts", {"code": "SEAL-19", "part": "SEAL-19"}, "SEAL-19"),
        ("Findings", {"code": "WORN", "finding": "Bushing worn"}, "WORN (Bushing worn)"),
        ("Extras", {"code": "CLEAN", "extra": "Clean and oil"}, "CLEAN (Clean and oil)"),
        ("Parts used", {"used_by": "FIT", "part": "SEAL"}, "SEAL used by FIT"),
        ("Offers", {"part": "SEAL", "supplier": "SOUTH"}, "SEAL from SOUTH"),
        ("Markup", {"cost_over": Decimal("10.50")}, "the band over 10.5"),
        ("Fits only if", {"remedy": "NEW", "finding": "WIDE"}, "NEW, fits only if WIDE"),
        ("Taxes", {"tax": "State", "charges": ("parts", "labour")}, "State on parts; labour"),
        ("Labour rates", {"code": "MAIN"}, "MAIN"),
        ("Labour rates", {"code": "MAIN", "in_force_from": date(2026, 7, 1)}, "MAIN 2026-07-01"),
    ],
)
def test_a_row_of_the_shop_book(name: str, values: dict[str, Any], expected: str) -> None:
    """A name that is blank, or only repeats the code, is not said; a dated rate is told apart by its day."""
    assert row_name(sheet(name), a_row(**values)) == expected


@pytest.mark.parametrize(
    ("name", "values", "expected"),
    [
        ("Findings", {"finding": "WORN", "side": "left"}, "WORN left"),
        ("Findings", {"finding": "WORN"}, "WORN"),
        ("Extras", {"extra": "CLEAN", "side": "right"}, "CLEAN right"),
        ("One-off", {"line": "Towing", "kind": "charge"}, "Towing"),
        ("Plan", {"item": "NEW", "side": "left", "tier": "good"}, "NEW left in good"),
        ("Plan", {"item": "NEW", "tier": "good"}, "NEW in good"),
    ],
)
def test_a_row_of_the_job(name: str, values: dict[str, Any], expected: str) -> None:
    """`Findings` and `Extras` of the job have no name of their own: they go by code and side."""
    assert row_name(sheet(name, of_job=True), a_row(**values)) == expected


def test_a_second_column_that_is_no_text_is_no_name() -> None:
    """On a sheet whose second column is a number, only the first names the row."""
    for declared in (*SHOP_BOOK, *JOB_WORKBOOK):
        if declared.columns[1].kind != "text" and declared.name not in ("Parts used", "Offers", "Markup", "Plan"):
            first = declared.columns[0]
            field = first.field or first.header.lower().replace(" ", "_")
            assert "(" not in row_name(declared, a_row(**{field: "X", "amount": Decimal(5)}))


def test_every_sheet_names_an_empty_row_without_failing() -> None:
    """A row may be blank but for one cell; a sentence about it has no hole that reads as an error."""
    for declared in (*SHOP_BOOK, *JOB_WORKBOOK):
        assert "{" not in row_name(declared, a_row()) and "None" not in row_name(declared, a_row())
