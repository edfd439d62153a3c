"""Money, dates and numbers as the shop's language writes them.

Minor units are those of quotekit.money, not of the locale data; amounts are rounded before they are written.
A layout asks for the same few texts again and again, so they are kept: by an amount's digits, as -0 equals 0.
"""

from __future__ import annotations

import copy
from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import NamedTuple

from babel import Locale, UnknownLocaleError
from babel.core import get_global
from babel.dates import format_date
from babel.numbers import (
    NumberPattern,
    format_decimal,
    format_percent,
    get_currency_symbol,
    get_decimal_symbol,
    get_group_symbol,
)

from quotekit.documents.sheet import Kind, Paper
from quotekit.money import minor_digits, round_to

_LETTER = frozenset("BZ CA CL CO CR GT MX NI PA PH PR SV US VE".split())
_NO_BREAK = "\u00a0"


@lru_cache(maxsize=64)
def locale_of(language: str) -> Locale:
    """The locale of a language tag, by its language alone where the rest is not known, else American English.

    >>> locale_of("de-DE").territory, locale_of("ja_JPY").language, locale_of("qq").territory
    ('DE', 'ja', 'US')
    """
    tag = language.replace("-", "_")
    for candidate in (tag, tag.partition("_")[0]):
        try:
            return Locale.parse(candidate)
        except (UnknownLocaleError, ValueError):
            continue
    return Locale("en", "US")


def paper_of(language: str) -> Paper:
    """Letter or A4, by the language's territory, or the likeliest one where it has none.

    Source: CLDR supplemental data, paperSize.

    >>> paper_of("en_US"), paper_of("fr_CA"), paper_of("de_DE"), paper_of("en")
    ('Letter', 'Letter', 'A4', 'Letter')
    """
    return "Letter" if territory_of(language) in _LETTER else "A4"


def territory_of(language: str) -> str:
    """The territory of a language tag, or the likeliest one where it has none.

    >>> territory_of("en_GB"), territory_of("en"), territory_of("de")
    ('GB', 'US', 'DE')
    """
    locale = locale_of(language)
    likely: str = get_global("likely_subtags").get(locale.language, "")
    return locale.territory or likely.rpartition("_")[2]


def money_text(amount: Decimal, currency: str, language: str) -> str:
    """An amount in words of the page, e.g. in a sentence.

    >>> money_text(Decimal("1234.5"), "USD", "en_US"), money_text(Decimal("-2"), "USD", "en_US")
    ('$1,234.50', '-$2.00')
    >>> money_text(Decimal("1.2345"), "KWD", "en_US") == "KWD\u00a01.235"
    True
    """
    return _money_text(str(amount), currency, language)


def money_format(currency: str, language: str) -> str:
    """The number format of a money cell: the locale's pattern, the symbol as a literal.

    >>> money_format("USD", "en_US")
    '"$"#,##0.00;"-$"#,##0.00'
    >>> money_format("JPY", "en_US")
    '"¥"#,##0;"-¥"#,##0'
    """
    locale, digits = locale_of(language), minor_digits(currency)
    prefixes, suffixes = _around(_pattern(locale), currency, locale)
    number = "#,##0" + ("." + "0" * digits if digits else "")
    return ";".join(
        f"{_literal(before)}{number}{_literal(after)}" for before, after in zip(prefixes, suffixes, strict=True)
    )


class MoneyForm(NamedTuple):
    """What a script needs to write an amount as `money_text` does; the first of a pair is for zero and above."""

    digits: int
    prefixes: tuple[str, str]
    suffixes: tuple[str, str]
    grouping: tuple[int, int]
    """Digits of the group next to the decimals, and of every other group."""
    group: str
    decimal: str


def money_form(currency: str, language: str) -> MoneyForm:
    """How amounts are written.

    >>> money_form("USD", "en_US")
    MoneyForm(digits=2, prefixes=('$', '-$'), suffixes=('', ''), grouping=(3, 3), group=',', decimal='.')
    """
    locale, digits = locale_of(language), minor_digits(currency)
    decimal = get_decimal_symbol(locale)
    one = "1" + (decimal + "0" * digits if digits else "")
    plus, minus = (money_text(Decimal(amount), currency, language).partition(one) for amount in (1, -1))
    grouping = _pattern(locale).grouping
    return MoneyForm(
        digits=digits,
        prefixes=(plus[0], minus[0]),
        suffixes=(plus[2], minus[2]),
        grouping=(grouping[0], grouping[1]),
        group=get_group_symbol(locale),
        decimal=decimal,
    )


def formats(currency: str, language: str) -> dict[Kind, str]:
    """Number formats of a workbook by kind."""
    return {
        "money": money_format(currency, language),
        "number": "0.####",
        "hours": "0.00##",
        "percent": "0.0##%",
        "date": "yyyy-mm-dd",
    }


def date_text(value: date, language: str) -> str:
    """A date written out.

    >>> date_text(date(2026, 11, 25), "en_US")
    'November 25, 2026'
    """
    return format_date(value, format="long", locale=locale_of(language))


def short_date_text(value: date, language: str) -> str:
    """A date for a narrow column.

    >>> short_date_text(date(2026, 11, 25), "en_US"), short_date_text(date(2026, 11, 25), "de_DE")
    ('Nov 25, 2026', '25.11.2026')
    """
    return format_date(value, format="medium", locale=locale_of(language))


def number_text(value: Decimal, language: str) -> str:
    """A plain number, all its digits, no needless zeros.

    >>> number_text(Decimal("0.7420"), "en_US"), number_text(Decimal("2E+1"), "de_DE")
    ('0.742', '20')
    """
    return _number_text(str(value), language)


def percent_text(value: Decimal, language: str) -> str:
    """A fraction as percent.

    >>> percent_text(Decimal("0.075"), "en_US")
    '7.5%'
    """
    locale = locale_of(language)
    pattern = copy.copy(locale.percent_formats[None])
    pattern.frac_prec = (0, 6)
    return format_percent(value, format=pattern, locale=locale)


@lru_cache(maxsize=4096)
def _money_text(amount: str, currency: str, language: str) -> str:
    locale, digits = locale_of(language), minor_digits(currency)
    pattern = copy.copy(_pattern(locale))
    pattern.frac_prec = (digits, digits)
    pattern.prefix, pattern.suffix = _around(pattern, currency, locale)
    return str(pattern.apply(round_to(Decimal(amount), digits), locale, currency=currency, currency_digits=False))


@lru_cache(maxsize=4096)
def _number_text(value: str, language: str) -> str:
    return format_decimal(Decimal(value), format="#,##0.############", locale=locale_of(language))


def _pattern(locale: Locale) -> NumberPattern:
    pattern: NumberPattern = locale.currency_formats["standard"]
    return pattern


def _around(pattern: NumberPattern, currency: str, locale: Locale) -> tuple[tuple[str, str], tuple[str, str]]:
    """Prefix and suffix of a positive and a negative amount; a gap between a lettered symbol and the digits."""
    symbol = get_currency_symbol(currency, locale)
    before, after = (_NO_BREAK if end.isalpha() else "" for end in (symbol[-1], symbol[0]))
    prefix, suffix = (
        tuple(_spaced(text, symbol, before if left else "", "" if left else after) for text in texts)
        for left, texts in ((True, pattern.prefix), (False, pattern.suffix))
    )
    return (prefix[0], prefix[1]), (suffix[0], suffix[1])


def _spaced(text: str, symbol: str, before: str, after: str) -> str:
    gap_left = before if text.endswith("¤") else ""
    gap_right = after if text.startswith("¤") else ""
    return text.replace("¤", f"{gap_right}{symbol}{gap_left}")


def _literal(text: str) -> str:
    return '"' + text.replace('"', "") + '"' if text else ""
