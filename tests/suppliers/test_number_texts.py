"""Numbers as suppliers write them: each notation under its style, and nothing that fits in two ways."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.suppliers.number_texts import (
    DecidedStyle,
    NumberStyle,
    NumberText,
    decide_style,
    is_currency,
    read_number,
)

POINT = NumberStyle(decimal_mark=".", grouping_mark=",")
COMMA = NumberStyle(decimal_mark=",", grouping_mark=".")
SPACED = NumberStyle(decimal_mark=",", grouping_mark=" ")
SWISS = NumberStyle(decimal_mark=".", grouping_mark="'")
PLAIN = NumberStyle()


def value(text: str, style: NumberStyle) -> str:
    """The value as text; a refusal fails the test with its reason."""
    found = read_number(text, style)
    assert isinstance(found, NumberText), found
    return str(found.value)


@pytest.mark.parametrize(
    ("text", "style", "expected"),
    [
        ("1,234.56", POINT, "1234.56"),
        ("1.234,56", COMMA, "1234.56"),
        ("1 234,56", SPACED, "1234.56"),
        ("1\u00a0234,56", SPACED, "1234.56"),
        ("1\u202f234,56", SPACED, "1234.56"),
        ("1\u2009234\u2009567,5", SPACED, "1234567.5"),
        ("1'234.56", SWISS, "1234.56"),
        ("1’234.56", SWISS, "1234.56"),
        ("12,34,567.50", POINT, "1234567.50"),
        ("1234.5", POINT, "1234.5"),
        (".5", PLAIN, "0.5"),
        ("5.", PLAIN, "5"),
        ("007.10", PLAIN, "7.10"),
        ("１２．５", PLAIN, "12.5"),
        ("-3.20", PLAIN, "-3.20"),
        ("−3.20", PLAIN, "-3.20"),
        ("3.20-", PLAIN, "-3.20"),
        ("3.20 -", PLAIN, "-3.20"),
        ("(3.20)", PLAIN, "-3.20"),
        ("($1,250.00)", POINT, "-1250.00"),
        ("+3", PLAIN, "3"),
        ("$3.20", PLAIN, "3.20"),
        ("-$3.20", PLAIN, "-3.20"),
        ("$-3.20", PLAIN, "-3.20"),
        ("3,20 €", COMMA, "3.20"),
        ("EUR 3,20", COMMA, "3.20"),
        ("kr. 12,50", COMMA, "12.50"),
        ("12,50 kr", COMMA, "12.50"),
        ("12.-", SWISS, "12"),
        ("12,--", COMMA, "12"),
        ("25%", PLAIN, "0.25"),
        ("12,5 %", COMMA, "0.125"),
        ("0.000001", PLAIN, "0.000001"),
        ("999999999999.999999", PLAIN, "999999999999.999999"),
        ("1.50000000", PLAIN, "1.50000000"),
    ],
)
def test_a_number_is_read_exactly(text: str, style: NumberStyle, expected: str) -> None:
    assert value(text, style) == expected


@pytest.mark.parametrize(
    ("text", "style", "why"),
    [
        ("1,234.56", COMMA, "does not fit"),
        ("1.234,56", POINT, "does not fit"),
        ("12,34", POINT, "does not fit"),
        ("1,2345.00", POINT, "does not fit"),
        (",123", POINT, "does not fit"),
        ("1,50", PLAIN, "does not fit"),
        ("1.234.567", PLAIN, "does not fit"),
        ("1 234.5", PLAIN, "does not fit"),
        ("1.2E+05", PLAIN, "no number"),
        ("1e3", PLAIN, "no number"),
        ("POA", PLAIN, "no number"),
        ("on request", PLAIN, "no number"),
        ("n/a", PLAIN, "no number"),
        ("3/4", PLAIN, "no number"),
        ("1½", PLAIN, "no number"),
        ("--5", PLAIN, "more than one sign"),
        ("-5-", PLAIN, "more than one sign"),
        ("(5", PLAIN, "more than one sign"),
        ("5)", PLAIN, "more than one sign"),
        ("$5 €", PLAIN, "two currencies"),
        ("XYZ 5", PLAIN, "no number"),
        ("", PLAIN, "no number"),
        ("5 5", PLAIN, "does not fit"),
        ("1.0000001", PLAIN, "more than"),
        ("1234567890123", PLAIN, "more than"),
        ("9" * 200, PLAIN, "no number"),
    ],
)
def test_what_fits_in_no_way_is_told_never_guessed(text: str, style: NumberStyle, why: str) -> None:
    """A price list has words and notations of others among its amounts; each is a row that somebody must look at."""
    found = read_number(text, style)
    assert isinstance(found, str)
    assert why in found


@pytest.mark.parametrize(
    ("text", "currency"),
    [("$5", "$"), ("US$ 5", "US$"), ("C$5", "C$"), ("5 EUR", "EUR"), ("5 kr.", "kr"), ("5", ""), ("CHF 5", "CHF")],
)
def test_the_currency_is_kept(text: str, currency: str) -> None:
    found = read_number(text, PLAIN)
    assert isinstance(found, NumberText)
    assert found.currency == currency


@pytest.mark.parametrize(
    ("sign", "code", "same"),
    [
        ("$", "USD", True),
        ("$", "AUD", True),
        ("US$", "CAD", False),
        ("€", "EUR", True),
        ("kr", "SEK", True),
        ("kr", "EUR", False),
        ("¥", "JPY", True),
        ("¢", "USD", False),
        ("EUR", "EUR", True),
        ("EUR", "USD", False),
    ],
)
def test_a_sign_may_stand_for_several_currencies(sign: str, code: str, same: bool) -> None:
    """A dollar sign in a Canadian supplier's list is not another currency; a euro sign is."""
    assert is_currency(sign, code) is same


@given(st.decimals(min_value=-999999999, max_value=999999999, places=2, allow_nan=False), st.sampled_from("., "))
def test_every_notation_gives_the_same_decimal(amount: Decimal, group: str) -> None:
    """However an amount is grouped and marked, it is Python's Decimal of its digits."""
    mark = "," if group == "." else "."
    written = f"{amount:,.2f}".replace(",", "#").replace(".", mark).replace("#", group)
    style = NumberStyle(decimal_mark=mark, grouping_mark=group)  # type: ignore[arg-type]
    assert Decimal(value(written, style)) == amount


@given(st.text(alphabet="0123456789.,' -+$€%()e", max_size=14))
def test_no_text_breaks_it_and_none_is_read_beyond_its_digits(text: str) -> None:
    """Whatever is read, its digits are those of the text, in order: nothing is made up and none is lost."""
    for style in (PLAIN, POINT, COMMA, SPACED, SWISS):
        found = read_number(text, style)
        if isinstance(found, NumberText):
            digits = "".join(character for character in text if character.isdigit()).strip("0")
            assert f"{abs(found.value):f}".replace(".", "").strip("0") == digits


@pytest.mark.parametrize(
    ("texts", "mark", "group", "sure"),
    [
        (["12.50", "3.00"], ".", "", True),
        (["12,50", "3,00"], ",", "", True),
        (["1,234.56", "3.00"], ".", ",", True),
        (["1.234,56", "3,00"], ",", ".", True),
        (["1 234,56"], ",", " ", True),
        (["1\u202f234,56"], ",", " ", True),
        (["1'234.56"], ".", "'", True),
        (["1.234.567"], ",", ".", True),
        (["12", "5"], ".", "", True),
        (["0.125"], ".", "", True),
        (["1234.500"], ".", "", True),
        (["12.50", "1,234"], ".", ",", True),
        (["12,50", "1.234"], ",", ".", True),
        (["$1,234.00"], ".", ",", True),
        (["1.234", "2.500"], ".", "", False),
        (["1,234"], ".", "", False),
        (["12.50", "12,50"], ".", "", False),
        (["12,50", "13,50", "1.5"], ",", "", False),
        ([], ".", "", True),
        (["POA"], ".", "", True),
        (["12.50 Fr.", "3.00 Fr."], ".", "", True),
        (["Fr. 521 038,83", "Fr. 2,99"], ",", " ", True),
        (["126,28Fr.", "kr.3,50"], ",", "", True),
        (["1.2.3", "12,50"], ",", "", True),
        (["12,3,4", "5.00"], ".", "", True),
        (["0,3333333333333333"], ",", "", True),
        (["12.-", "3.-"], ".", "", True),
        (["1'234.50", "2'000.00", "3,500.00"], ".", "'", True),
    ],
)
def test_the_style_of_a_list(texts: list[str], mark: str, group: str, sure: bool) -> None:
    """Where no amount says which mark is which, the owner is asked: a thousand for one and a bit is a ruined shop."""
    found = decide_style(texts)
    assert (found.style.decimal_mark, found.style.grouping_mark, found.sure) == (mark, group, sure)
    assert isinstance(found, DecidedStyle) and found.reason


def test_a_doubt_names_the_text() -> None:
    assert "“1.234” could be a thousand" in decide_style(["1.234"]).reason
    assert "12,50 (1 such) has the other" in decide_style(["12.50", "12.60", "12,50"]).reason


@given(st.lists(st.decimals(min_value=0, max_value=99999, places=2), min_size=3, max_size=20), st.sampled_from(".,"))
def test_the_decided_style_reads_what_it_was_decided_from(amounts: list[Decimal], mark: str) -> None:
    group = "," if mark == "." else "."
    texts = [f"{amount:,.2f}".replace(",", "#").replace(".", mark).replace("#", group) for amount in amounts]
    style = decide_style(texts).style
    assert [Decimal(value(text, style)) for text in texts] == amounts
