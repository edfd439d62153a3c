"""Names of cells and the sheets as the workbook part lists them."""

from __future__ import annotations

import re
from collections.abc import Callable

from quotekit.workbook.addresses import MOST_COLUMNS, MOST_ROWS, column_number
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.xml_parts import Attributes, parse_small_part

Area = tuple[str, int, int, int, int]
"""Sheet, first row and column, last row and column, 1-based."""

MOST_NAMES = 10_000
_CELL = r"\$?([A-Za-z]{1,3})\$?([1-9][0-9]{0,6})"
_AREA = re.compile(rf"(?:'((?:[^']|'')+)'|([^'!:()+*/,; ]+))!{_CELL}(?::{_CELL})?")


def read_defined_names(package: Package, part: str) -> tuple[dict[str, Area], list[str]]:
    """Areas by the workbook's names, and all sheets in order. Raises BadPackage."""
    return areas_by_name(package, part, lambda name: "" if "localSheetId" in name else name.get("name", ""))


def areas_by_name(package: Package, part: str, key: Callable[[Attributes], str]) -> tuple[dict[str, Area], list[str]]:
    """Areas by the key of each name, the first where several have one, and all sheets in order; no key, no area.

    Raises BadPackage.
    """
    names: dict[str, Area] = {}
    sheets: list[str] = []
    current, held = "", list[str]()

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal current
        current = key(attributes) if tag == "definedName" else ""
        held.clear()
        if tag == "sheet":
            sheets.append(attributes.get("name", ""))

    def end(tag: str) -> None:
        nonlocal current
        area = area_of("".join(held).strip()) if current else None
        if area is not None:
            names.setdefault(current, area)
        current = ""
        if len(names) > MOST_NAMES:
            raise BadPackage("too-large", f"the workbook holds more than {MOST_NAMES:,} names")

    parse_small_part(package, part, start, end, lambda text: held.append(text) if current else None)
    return names, sheets


def area_of(text: str) -> Area | None:
    """The area a name stands for, None for anything but one rectangle.

    >>> area_of("'It''s'!$B$2"), area_of("Working!$A$1:$B$3")
    (("It's", 2, 2, 2, 2), ('Working', 1, 1, 3, 2))
    >>> area_of("#REF!"), area_of("Quote!$A$1,Quote!$B$1")
    (None, None)
    """
    match = _AREA.fullmatch(text)
    if match is None:
        return None
    quoted, plain, *ends = match.groups()
    first_column, first_row = column_number(ends[0].upper()), int(ends[1])
    last_column = column_number(ends[2].upper()) if ends[2] else first_column
    last_row = int(ends[3]) if ends[3] else first_row
    sheet = quoted.replace("''", "'") if quoted else plain
    if first_row > last_row or first_column > last_column or last_row > MOST_ROWS or last_column > MOST_COLUMNS:
        return None
    return sheet, first_row, first_column, last_row, last_column
