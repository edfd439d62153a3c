"""Which cell styles show a percentage, which a date or a time, and which a currency, by their number formats.

Built-in formats: ECMA-376 part 1, 18.8.30.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from quotekit.workbook.currencies import CURRENCIES
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.xml_parts import Attributes, parse_small_part

MOST_STYLES = 100_000
_PERCENT_IDS = frozenset({"9", "10"})
_DATE_IDS = frozenset(str(i) for i in (*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.I)
_SHOWN = re.compile(r'\[\$([^\]-]*)[^\]]*\]|"([^"]*)"|\\?([$€£¥₹₽₺])')
_SIGNS = frozenset("€ £ $ ¥ ₹ ₽ ₺ kr zł Kč Ft Fr SFr US$ CA$ C$ A$ NZ$ R$".split())


class ShownStyles(NamedTuple):
    """Style numbers of cells by what their number format shows."""

    percent: frozenset[int] = frozenset()
    dates: frozenset[int] = frozenset()


def is_percent(code: str) -> bool:
    """True for the code of a percentage; a percent sign in quotes is only text.

    >>> is_percent("0.0%"), is_percent('0" %"'), is_percent("0\\\\%")
    (True, False, False)
    """
    return "%" in _LITERAL.sub("", code)


def is_date(code: str) -> bool:
    """True for the code of a date or a time, wherever the reading library makes a date of the number.

    >>> is_date("yyyy-mm-dd"), is_date("[h]:mm"), is_date("[Red]0.00"), is_date('0 "days"'), is_date("0.00E+00")
    (True, True, False, False, False)
    """
    plain = _LITERAL.sub("", code).partition(";")[0]
    return bool(re.search(r"[dmyhs]|a/p", plain, re.I))


def currency_shown(code: str) -> str:
    """The currency's sign or code that a number format shows; the built-in formats show that of each computer.

    >>> [currency_shown(code) for code in ("#,##0.00 [$€-407]", '"USD" 0.00', '0 "pcs"', "[$-409]0.00", "$0.00")]
    ['€', 'USD', '', '', '$']
    """
    shown = [match[match.lastindex or 0] for match in _SHOWN.finditer(code.partition(";")[0])]
    found = (text.strip().rstrip(".") for text in shown)
    return next((text for text in found if text in CURRENCIES or text in _SIGNS), "")


def read_styles(package: Package, part: str) -> ShownStyles:
    """Styles that show percentages and dates. Raises BadPackage."""
    return styles_of(*read_formats(package, part))


def styles_of(formats: Mapping[str, str], used: Sequence[str]) -> ShownStyles:
    """Styles that show percentages and dates, of what `read_formats` gives."""
    percent = _PERCENT_IDS - formats.keys() | {key for key, code in formats.items() if is_percent(code)}
    dates = _DATE_IDS - formats.keys() | {key for key, code in formats.items() if is_date(code)}
    return ShownStyles(_numbers(used, percent), _numbers(used, dates))


def currencies_of(formats: Mapping[str, str], used: Sequence[str]) -> Mapping[int, str]:
    """Styles that show a currency beside a number, with its sign or code, of what `read_formats` gives."""
    signs = {key: sign for key, code in formats.items() if (sign := currency_shown(code))}
    return {number: signs[key] for number, key in enumerate(used) if key in signs}


def read_formats(package: Package, part: str) -> tuple[dict[str, str], list[str]]:
    """The codes of a workbook's own formats by their number, and the number of each style's format.

    Raises BadPackage.
    """
    formats: dict[str, str] = {}
    used: list[str] = []
    if not part:
        return formats, used
    inside = ""

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal inside
        if tag in ("numFmts", "cellXfs"):
            inside = tag
        elif tag == "numFmt" and inside == "numFmts":
            formats[attributes.get("numFmtId", "")] = attributes.get("formatCode", "")[:255]
        elif tag == "xf" and inside == "cellXfs":
            used.append(attributes.get("numFmtId", "0"))
            if len(used) > MOST_STYLES:
                raise BadPackage("too-large", f"the workbook has more than {MOST_STYLES:,} cell styles")

    def end(tag: str) -> None:
        nonlocal inside
        inside = "" if tag == inside else inside

    parse_small_part(package, part, start, end)
    return formats, used


def _numbers(used: Sequence[str], keys: frozenset[str] | set[str]) -> frozenset[int]:
    return frozenset(number for number, key in enumerate(used) if key in keys)
