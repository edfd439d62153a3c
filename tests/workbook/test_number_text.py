"""What to type instead of text that looks like a number: each case a text somebody types, and the words for it."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.workbook.number_text import suggest_number

ONE_READING: list[tuple[str, str, str]] = [
    # Text as typed, what the column wants, the number proposed
    ("12.50", "money", "12.50"),
    ("0417", "money", "0417"),
    ("$12.50", "money", "12.50"),
    ("12.50 $", "money", "12.50"),
    ("US$ 12.50", "money", "12.50"),
    ("€12", "money", "12"),
    ("12,50 €", "money", "12.50"),
    ("USD 12.50", "money", "12.50"),
    ("12.50 EUR", "money", "12.50"),
    ("£1,250.00", "money", "1250.00"),
    ("1,234,567", "money", "1234567"),
    ("1.234.567,89", "money", "1234567.89"),
    ("1.234,5", "money", "1234.5"),
    ("1 234.50", "money", "1234.50"),
    ("1\u00a0234,50", "money", "1234.50"),
    ("1\u202f234", "money", "1234"),
    ("1'234.50", "money", "1234.50"),
    ("12,5", "number", "12.5"),
    ("-12.5", "number", "-12.5"),
    ("1 1/2", "hours", "1.5"),
    ("1/2", "hours", "0.5"),
    ("3 / 4", "number", "0.75"),
    ("2/3", "number", "0.6667"),
    ("1½", "hours", "1.5"),
    ("¾", "hours", "0.75"),
    ("1.5 h", "hours", "1.5"),
    ("1,5 Std.", "hours", "1.5"),
    ("2hrs", "hours", "2"),
    ("90 min", "hours", "1.5"),
    ("20 minutes", "hours", "0.3333"),
    ("1:30", "hours", "1.5"),
    ("0:45", "hours", "0.75"),
    ("１２．５", "number", "12.5"),
    ("٣", "number", "3"),
]


@pytest.mark.parametrize(("text", "what", "number"), ONE_READING)
def test_text_that_can_mean_one_number_only(text: str, what: str, number: str) -> None:
    """The owner can copy the number as it stands."""
    assert re.match(rf"Type {re.escape(number)} as a number", suggest_number(text, what)), suggest_number(text, what)


TWO_READINGS: list[tuple[str, list[str]]] = [
    ("1,250", ["1250", "1.250"]),
    ("1.250", ["1.250", "1250"]),
    ("$1,250", ["1250", "1.250"]),
    ("12.345 €", ["12.345", "12345"]),
]


@pytest.mark.parametrize(("text", "readings"), TWO_READINGS)
def test_text_that_can_mean_two_numbers_names_both(text: str, readings: list[str]) -> None:
    """A thousand times too much or too little: money is never guessed, nor does the advice choose."""
    advice = suggest_number(text, "money")
    assert all(re.search(rf"(?<![\d.]){re.escape(reading)}(?![\d.]\d)", advice) for reading in readings), advice
    assert "whichever was meant" in advice


@pytest.mark.parametrize("text", ["1,2,3", "1.2.3", "12,34,56", "1..5", "1,5.5,5", "1'2"])
def test_digits_in_no_known_order_get_plain_advice(text: str) -> None:
    """It looks like a number, but no reading is better than another."""
    advice = suggest_number(text, "money")
    assert advice in ("Type it as a plain number.", "") and advice != f"Type {text} as a number."


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "ask",
        "n/a",
        "-",
        "€",
        "$",
        ".",
        ",",
        "SEAL-19",
        "two",
        "1/0",
        "0/0",
        "see note 4",
        "call 555 1234 then ask",
    ],
)
def test_other_text_gets_no_suggestion(text: str) -> None:
    """An invented number would be worse than none; a division by zero is none."""
    assert suggest_number(text, "money") == ""


@pytest.mark.parametrize("text", ["9" * 5_000, "1 " * 3_000, "1," * 5_000, "'" * 9_000 + "x", "1/" + "9" * 4_000])
def test_endless_text_is_answered_at_once(text: str) -> None:
    """No text may keep the patterns busy, and the advice never repeats a page of digits."""
    assert len(suggest_number(text, "money")) < 200


@given(st.text(alphabet="0123456789.,' $€-+/:hmin½٣ \u00a0", max_size=16))
def test_any_text_is_answered_and_proposals_are_plain_numbers(text: str) -> None:
    """Whatever is proposed can be typed as it stands: plain digits with a decimal point."""
    advice = suggest_number(text, "number")
    proposed = re.match(r"Type (\S+) as a number", advice)
    assert proposed is None or re.fullmatch(r"[-+]?\d+(\.\d+)?", proposed[1]), (text, advice)
    assert advice == "" or advice.startswith("Type ")
