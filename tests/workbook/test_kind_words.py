"""What may stand in a cell, in words: every declared column and field can be told."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import get_args

import pytest

from quotekit.model.shop_book import Quantity
from quotekit.workbook.column import Column, Field, Kind
from quotekit.workbook.columns import JOB_FIELDS, JOB_WORKBOOK, SHOP_BOOK, SHOP_SETTINGS
from quotekit.workbook.kind_words import WORDS, read_words, value_words, what_belongs

DECLARED = [*(column for sheet in (*SHOP_BOOK, *JOB_WORKBOOK) for column in sheet.columns), *SHOP_SETTINGS, *JOB_FIELDS]


def test_every_kind_has_words() -> None:
    assert WORDS.keys() == set(get_args(Kind))


@pytest.mark.parametrize("declared", DECLARED, ids=lambda one: getattr(one, "header", "") or one.name)
def test_every_column_and_field_can_be_told(declared: Column | Field) -> None:
    """What must be filled in is said so, and nothing is said twice."""
    said = what_belongs(declared)
    assert ("It must be filled in." in said) == declared.required
    assert said[0].isupper() and said.endswith(".") and ".." not in said
    for word in declared.words if declared.kind == "word" else ():
        assert word in said
    for sheet in declared.refers_to if declared.kind in ("code", "codes") else ():
        assert f"`{sheet}`" in said


@pytest.mark.parametrize(
    ("value", "kind", "percent", "words"),
    [
        (Decimal("7.90"), "money", False, "7.9"),
        (Decimal("0"), "hours", False, "0"),
        (Decimal("100"), "whole", False, "100"),
        (Decimal("0.0875"), "percent", False, "8.75 %"),
        (Decimal("2"), "markup", True, "200 %"),
        (Decimal("0.1"), "amount", True, "10 %"),
        (False, "yes/no", False, "No"),
        (date(2026, 3, 14), "date", False, "2026-03-14"),
        ((Quantity(code="SEAL", quantity=Decimal(2)), Quantity(code="BELT", quantity=Decimal(1))), "quantities", False,
         "SEAL x 2; BELT x 1"),
        (("A", "B"), "codes", False, "A; B"),
        ((), "codes", False, "nothing"),
        ("never", "credit", False, "never"),
    ],
)  # fmt: skip
def test_values_as_people_write_them(value: object, kind: Kind, percent: bool, words: str) -> None:
    assert read_words(value, kind, percent=percent) == words


def test_a_number_is_never_written_with_an_exponent() -> None:
    assert value_words(Decimal("1E+3")) == "1000"
