"""Which cell styles show a percentage, and which a date or a time, by their number formats.

Built-in formats: ECMA-376 part 1, 18.8.30.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.xml_parts import Attributes, parse_small_part

MOST_STYLES = 100_000
_PERCENT_IDS = frozenset({"9", "10"})
_DATE_IDS = frozenset(str(i) for i in (*range(14, 23), *range(27, 37), *range(45, 48), *range(50, 59)))
_LITERAL = re.compile(r'"[^"]*"|\\.|_.|\*.|\[(?!h+\]|m+\]|s+\])[^\]]*\]', re.I)


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


def read_styles(package: Package, part: str) -> ShownStyles:
    """Styles that show percentages and dates. Raises BadPackage."""
    if not part:
        return ShownStyles()
    formats: dict[str, str] = {}
    used: list[str] = []
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
    percent = _PERCENT_IDS - formats.keys() | {key for key, code in formats.items() if is_percent(code)}
    dates = _DATE_IDS - formats.keys() | {key for key, code in formats.items() if is_date(code)}
    return ShownStyles(_numbers(used, percent), _numbers(used, dates))


def _numbers(used: list[str], keys: frozenset[str] | set[str]) -> frozenset[int]:
    return frozenset(number for number, key in enumerate(used) if key in keys)
