"""What a cell stores: exact, short, and refused where a cell would keep something else."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal, FloatOperation, Inexact, localcontext

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.in_place.contents import (
    CannotStore,
    Content,
    content_of,
    day_text,
    fifteen,
    meant_text,
    number_text,
    same_content,
    stored_text,
)

D = Decimal


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("21.50", "21.5"),
        ("1E+3", "1000"),
        ("0.10", "0.1"),
        ("-0.000", "0"),
        ("123456789012345", "123456789012345"),
        ("1234567890123450", "1234567890123450"),
        ("0.000000123456789012345", "1.23456789012345E-7"),
        ("1E+30", "1E+30"),
        ("9.99999999999999E+307", "9.99999999999999E+307"),
    ],
)
def test_numbers(number: str, text: str) -> None:
    """The shortest text that is exactly the number."""
    assert number_text(D(number)) == text
    assert Decimal(text) == D(number)


@pytest.mark.parametrize(
    "value",
    [
        *(D("1234567890123456"), D("0.1234567890123456"), D("NaN"), D("Infinity"), D("1E+308"), D("1E-320"), 2**60),
        *(D("1E+9999999"), D("-1E-9999999"), 10**2000 + 1, -(10**400)),
    ],
)
def test_numbers_that_no_cell_keeps(value: Decimal | int) -> None:
    """A spreadsheet would cut the sixteenth digit without a word."""
    with pytest.raises(CannotStore):
        content_of(value)


@given(st.integers(-(10**15) + 1, 10**15 - 1), st.integers(-30, 30))
def test_every_number_of_fifteen_digits_comes_back(digits: int, exponent: int) -> None:
    """Through the float that a spreadsheet makes of it, too."""
    number = D(digits).scaleb(exponent)
    text = number_text(number)
    assert D(text) == number
    assert D(format(float(text), ".15g")) == number
    assert len(text) <= 22


@pytest.mark.parametrize(
    ("day", "first", "later"),
    [
        (date(1900, 1, 1), "1", None),
        (date(1900, 2, 28), "59", None),
        (date(1900, 3, 1), "61", None),
        (date(1904, 1, 1), "1462", "0"),
        (date(2026, 11, 28), "46354", "44892"),
        (datetime(2026, 11, 28, 18, 0), "46354.75", "44892.75"),
        (datetime(2026, 11, 28, 0, 0, 1), "46354.0000115741", "44892.0000115741"),
        (date(9999, 12, 31), "2958465", "2957003"),
    ],
)
def test_days(day: date, first: str, later: str | None) -> None:
    """Numbers of days as spreadsheets count them: 60 is a day that never was (common practice, no source)."""
    assert day_text(day, date_1904=False) == first
    if later is None:
        with pytest.raises(CannotStore):
            day_text(day, date_1904=True)
    else:
        assert day_text(day, date_1904=True) == later


@pytest.mark.parametrize("day", [date(1899, 12, 31), datetime(2026, 1, 1, tzinfo=UTC)])
def test_days_that_no_cell_keeps(day: date) -> None:
    with pytest.raises(CannotStore):
        content_of(day)


@pytest.mark.parametrize("text", ["\ud800", "\uffff", "x" * 32_768, "\U0001f527" * 16_384])
def test_texts_that_no_cell_keeps(text: str) -> None:
    """A letter beyond the first 65,536 counts twice."""
    with pytest.raises(CannotStore):
        content_of(text)


def test_a_text_of_the_longest_length() -> None:
    assert content_of("x" * 32_767).kind == "text"


@given(st.text(st.characters(codec="utf-8", exclude_characters="\ufffe\uffff")))
def test_every_text_comes_back(text: str) -> None:
    """Also one that looks as if it were marked already."""
    from xml.etree import ElementTree

    read = ElementTree.fromstring(f"<t>{stored_text(text)}</t>").text or ""
    assert meant_text(read) == text


@pytest.mark.parametrize(
    ("stored", "meant", "again"),
    [
        ("_xD83D__xDD27_", "\U0001f527", "\U0001f527"),
        ("_xD83D_", "\ud83d", "_xD83D_"),
        ("a_xFFFF_", "a\uffff", "a_xFFFF_"),
        ("_x0000_", "\x00", "_x0000_"),
    ],
)
def test_odd_letters_that_a_file_holds(stored: str, meant: str, again: str) -> None:
    """They can be put back: a letter in two halves becomes one, a half one stays marked; both can be told."""
    assert meant_text(stored) == meant
    assert stored_text(meant) == again
    assert str(Content(kind="text", text=meant)).encode()


def test_under_a_strict_context() -> None:
    """The arithmetic is its own, whatever the program around it traps."""
    with localcontext() as strict:
        strict.prec, strict.traps[Inexact], strict.traps[FloatOperation] = 3, True, True
        assert day_text(datetime(2026, 11, 28, 7, 11, 13), date_1904=False) == "46354.2994560185"
        assert number_text(D("123456.789")) == "123456.789"
        assert fifteen("0.1234567890123456789") == D("0.123456789012346")


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (Content(kind="number", text="19.99"), Content(kind="number", text="19.989999999999998"), True),
        (Content(kind="number", text="19.99"), Content(kind="number", text="1.999E1"), True),
        (Content(kind="number", text="19.99"), Content(kind="number", text="19.9900000001"), False),
        (Content(kind="number", text="1"), Content(kind="boolean", text="1"), False),
        (Content(kind="text", text="1"), Content(kind="number", text="1"), False),
        (Content(kind="text", text="a"), Content(kind="text", text="a"), True),
        (Content(), Content(kind="text"), False),
        (Content(kind="error", text="#N/A"), Content(kind="error", text="#N/A"), True),
    ],
)
def test_what_says_the_same(one: Content, other: Content, same: bool) -> None:
    assert same_content(one, other) is same


def test_what_is_no_number() -> None:
    assert fifteen("abc") == "abc"


def test_what_no_cell_holds() -> None:
    """A float never gets in: it would not be exact."""
    with pytest.raises(TypeError):
        content_of(0.1)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("content", "shown"),
    [
        (Content(), "nothing"),
        (Content(kind="boolean", text="1"), "TRUE"),
        (Content(kind="boolean", text="0"), "FALSE"),
        (Content(kind="number", text="2"), "2"),
    ],
)
def test_how_it_is_told(content: Content, shown: str) -> None:
    assert str(content) == shown
