"""One spelling for what spreadsheets save in several; a change of meaning is never lost in it."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.canonical import canonical, canonical_formula, canonical_number, canonical_text

SAME_FORMULAS = [
    ("IF(B3=TRUE,1,FALSE)", "if(B3=TRUE(),1,FALSE())"),
    ("SUM(A1,0.5,1E+15)", "SUM( A1 , .5 , 1000000000000000 )"),
    ("IF(A13,1.50,1.0)", "IF(A13,1.5,1)"),
    ("1E+20", "1E+020"),
    ("N(1)+1e3", "N(1)+1000"),
    ("$A$1*B$2+$C3", "A1*B2+C3"),
    ("'Working'!A1", "Working!$A$1"),
    ("'It''s odd'!A1", "'IT''S ODD'!A1"),
    ("SUM((A1:B1,D1))", "SUM((A1:B1~D1))"),
    ("_xlfn.CONCAT(A1)", "CONCAT(A1)"),
    ('"one\ntwo"&A1', '"one two"&A1'),
    ("0.00000000012", "1.2E-10"),
]
OTHER_FORMULAS = [
    ("A1+1", "A1+2"), ("A1", "A2"), ("A1/100", "A1/10"), ('IF(A1="Yes",1,0)', 'IF(A1="yes",1,0)'), ("A1>B1", "A1>=B1"),
    ("A1+B1", "A1-B1"), ("Quote!A1", "Working!A1"), ("1.5", "15"), ('"a"', "a"), ('"a b"', '"ab"'), ("A1", '"A1"'),
    ("A1.5", "A15"), ("1E+3", "1E+4"), ("x_1", "x_2"), ('" a"', '"a"'),
]  # fmt: skip
OTHER_CELLS = [
    ("1", Decimal(1)), ("TRUE", True), (True, 1), (False, None), ("", Decimal(0)), ("a", "A"), ("10 0", "100"),
    (Decimal("1.001"), Decimal("1.0010001")), (date(2026, 1, 1), date(2026, 1, 2)), ("-5", "5"),
]  # fmt: skip


@pytest.mark.parametrize(("one", "other"), SAME_FORMULAS)
def test_one_formula_in_two_spellings(one: str, other: str) -> None:
    assert canonical_formula(f"={one}") == canonical_formula(f"={other}")


@pytest.mark.parametrize(("one", "other"), OTHER_FORMULAS)
def test_two_formulas_are_two(one: str, other: str) -> None:
    assert canonical_formula(f"={one}") != canonical_formula(f"={other}")


@pytest.mark.parametrize(("one", "other"), OTHER_CELLS)
def test_two_contents_are_two(one: str | bool | Decimal | None, other: str | bool | Decimal | None) -> None:
    assert canonical(one) != canonical(other)


def test_a_stored_result_is_never_looked_at() -> None:
    assert canonical(Decimal(999), "=A1") == canonical(None, "=A1") == "=A1"


def test_a_truth_value_is_one_however_it_is_kept() -> None:
    """LibreOffice saves a typed TRUE as the formula TRUE()."""
    assert canonical(True) == canonical(None, "=TRUE()") == canonical(None, "=true")


def test_nothing_is_nothing() -> None:
    assert {canonical(None), canonical(""), canonical(" \n"), canonical("\x01_x000D_")} == {""}


def test_half_a_letter_is_what_the_cell_holds() -> None:
    """A file name that is no UTF-8 stands in a cell with a question mark: the seal of what was written fits it."""
    assert canonical("sch\udcfctte.xlsx") == canonical("sch?tte.xlsx") == "tsch?tte.xlsx"


@given(st.decimals(allow_nan=False, allow_infinity=False, places=4, min_value=-(10**10), max_value=10**10))
def test_a_number_is_the_same_through_a_double(number: Decimal) -> None:
    assert (
        canonical_number(number) == canonical_number(repr(float(number))) == canonical_number(f"{float(number):.17g}")
    )


@given(st.text(max_size=60))
def test_a_text_is_canonical_once(text: str) -> None:
    once = canonical_text(text)
    assert canonical_text(once) == once


@given(st.text(max_size=60))
def test_any_formula_text_is_taken(text: str) -> None:
    assert canonical_formula(f"={text}").startswith("=")
