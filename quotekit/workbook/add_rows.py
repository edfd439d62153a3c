"""A workbook with rows added to one sheet, which is made where it is not there; every other part keeps its bytes.

The parts are edited as text, so that formats, drop-downs, charts, comments and whatever else the owner has are kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape, quoteattr

from quotekit.documents.column_letters import column_letters
from quotekit.workbook.in_place.raw_package import with_members
from quotekit.workbook.package import BadPackage, Package
from quotekit.workbook.printable import printable
from quotekit.workbook.xml_parts import read_workbook_part, relations_part

Content = str | Decimal | date
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"


def with_rows(package: Package, sheet: str, rows: Sequence[Sequence[Content]]) -> bytes:
    """The workbook with `rows` at the end of a sheet, which is made with the first as its titles where there is none;
    where there is one, the titles are left out. Raises BadPackage.
    """
    book = read_workbook_part(package)
    known = next((one.part for one in book.sheets if one.name.casefold() == sheet.casefold()), None)
    if known is not None:
        changed = {known: _with_rows(_text(package, known), rows[1:])}
    else:
        changed = _with_sheet(package, book.part, sheet, rows)
    there = {
        package.members[name.lower()].filename: text.encode() for name, text in changed.items() if package.holds(name)
    }
    new = {name: text.encode() for name, text in changed.items() if not package.holds(name)}
    return with_members(package.data, there, new)


def _text(package: Package, part: str) -> str:
    return package.read(part).decode("utf-8-sig")


def _with_rows(text: str, rows: Iterable[Sequence[Content]]) -> str:
    found = re.search(r"<(?P<prefix>[\w.-]+:)?sheetData\s*/>|</(?P<other>[\w.-]+:)?sheetData>", text)
    if found is None:
        raise BadPackage("broken-workbook", "the sheet has no table of cells")
    prefix = found["prefix"] or found["other"] or ""
    numbers = [int(number) for number in re.findall(r'<(?:[\w.-]+:)?row\b[^<>]*?\sr="(\d+)"', text)]
    made = "".join(_row(max(numbers, default=0) + place, row, prefix) for place, row in enumerate(rows, start=1))
    if found[0].startswith("</"):
        return text[: found.start()] + made + text[found.start() :]
    return text[: found.start()] + f"<{prefix}sheetData>{made}</{prefix}sheetData>" + text[found.end() :]


def _row(number: int, row: Sequence[Content], prefix: str = "") -> str:
    cells = "".join(_cell(f"{column_letters(column)}{number}", one, prefix) for column, one in enumerate(row, start=1))
    return f'<{prefix}row r="{number}">{cells}</{prefix}row>'


def _cell(address: str, content: Content, prefix: str) -> str:
    if isinstance(content, Decimal):
        return f'<{prefix}c r="{address}"><{prefix}v>{content:f}</{prefix}v></{prefix}c>'
    words = escape(printable(content.isoformat() if isinstance(content, date) else content))
    inside = f'<{prefix}is><{prefix}t xml:space="preserve">{words}</{prefix}t></{prefix}is>'
    return f'<{prefix}c r="{address}" t="inlineStr">{inside}</{prefix}c>'


def _with_sheet(package: Package, book: str, name: str, rows: Sequence[Sequence[Content]]) -> dict[str, str]:
    """The parts that a new sheet adds or changes."""
    folder = book.rpartition("/")[0]
    number = 1
    while package.holds(f"{folder}/worksheets/sheet{number}.xml"):
        number += 1
    part = f"{folder}/worksheets/sheet{number}.xml"
    text, links = _text(package, book), _text(package, relations_part(book))
    key = _free(r'Id="([^"]+)"', links, "rIdTimes")
    types = _text(package, "[Content_Types].xml")
    data = "".join(_row(place, row) for place, row in enumerate(rows, start=1))
    return {
        part: f'<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n<worksheet xmlns="{_MAIN}">'
        f"{_widths(rows)}<sheetData>{data}</sheetData></worksheet>",
        book: _with_sheet_named(text, name, key),
        relations_part(book): _before_end(
            links,
            "Relationships",
            f'Relationship Id="{key}" Type="{_RELATIONS}/worksheet" Target="/{part}"',
        ),
        "[Content_Types].xml": _before_end(types, "Types", f'Override PartName="/{part}" ContentType="{_SHEET_TYPE}"'),
    }


def _widths(rows: Sequence[Sequence[Content]]) -> str:
    longest = [max(len(str(row[place])) for row in rows) for place in range(len(rows[0]))]
    columns = "".join(
        f'<col min="{n}" max="{n}" width="{most + 3}" customWidth="1"/>' for n, most in enumerate(longest, start=1)
    )
    return f"<cols>{columns}</cols>"


def _with_sheet_named(text: str, name: str, key: str) -> str:
    numbers = [int(number) for number in re.findall(r'\ssheetId="(\d+)"', text)]
    relation = re.search(rf'xmlns:([\w.-]+)="{re.escape(_RELATIONS)}"', text)
    of = relation[1] if relation else "r"
    declared = "" if relation else f' xmlns:r="{_RELATIONS}"'
    attributes = f'name={quoteattr(name)} sheetId="{max(numbers, default=0) + 1}"{declared} {of}:id="{key}"'
    return _before_end(text, "sheets", f"sheet {attributes}")


def _before_end(text: str, tag: str, element: str) -> str:
    """An empty element added as the last inside another."""
    found = list(re.finditer(rf"</(?P<prefix>[\w.-]+:)?{tag}>", text))[-1]
    return f"{text[: found.start()]}<{found['prefix'] or ''}{element}/>{text[found.start() :]}"


def _free(pattern: str, text: str, wanted: str) -> str:
    taken = set(re.findall(pattern, text))
    return next(name for name in (wanted, *(f"{wanted}{n}" for n in range(2, 10_000))) if name not in taken)
