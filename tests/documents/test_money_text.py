"""Texts of money and numbers that are kept between calls."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.money_text import money_text, number_text


def test_a_kept_text_is_never_that_of_another_number() -> None:
    """-0 equals 0 and 2.50 equals 2.5: the order in which they are asked for changes nothing."""
    assert money_text(Decimal("-0.0000"), "USD", "en_US") == "-$0.00"
    assert money_text(Decimal("0.0000"), "USD", "en_US") == "$0.00"
    assert money_text(Decimal("-0"), "EUR", "en_US") == "-€0.00"
    assert number_text(Decimal("2.50"), "en_US") == number_text(Decimal("2.5"), "en_US") == "2.5"


def test_one_amount_in_other_currencies_and_languages() -> None:
    assert money_text(Decimal("1234.5"), "USD", "en_US") == "$1,234.50"
    assert money_text(Decimal("1234.5"), "JPY", "en_US") == "¥1,235"
    assert money_text(Decimal("1234.5"), "USD", "de_DE") == "1.234,50\u00a0$"
    assert number_text(Decimal("1234.5"), "de_DE") == "1.234,5"
