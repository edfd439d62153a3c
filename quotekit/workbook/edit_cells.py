"""A copy of a workbook with some numbers changed and rows added to one sheet; every other byte of its parts stays.

The parts are edited as text, so that formats, drop-downs, charts, comments and whatever else the owner has are kept.
A cell with a formula is refused: its number follows from others. Where the workbook holds formulas, the copy asks to be
worked out again when it is opened; until it is saved once, stored results are those of before.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from xml.sax.saxutils import escape, quoteattr

from quotekit.documents.column_letters import column_letters
from quotekit.workbook.package import Package
from quotekit.workbook.printable import printable
from quotekit.workbook.xml_parts import read_workbook_part, relations_part

Content = str | Decimal | date
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_SHEET_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
_CELL = (
    r'<{prefix}c\b(?P<before>(?:\s[^<>]*?)?\s)r="{address}"(?P<after>[^<>]*?)'
    r"(?:/>|>(?P<body>.*?)</{prefix}c>)"
)
"""A cell of a sheet by its address, empty or with what it holds."""

_TYPE = re.compile(r'\st="[^"]*"')


class CannotEdit(Exception):
    """A cell that can't be changed: its address, and whether a formula stands there."""

    def __init__(self, sheet: str, cell: str, *, formula: bool) -> None:
        super().__init__(f"{sheet}!{cell}")
        self.sheet, self.cell, self.formula = sheet, cell, formula


def edited(
    package: Package, numbers: Mapping[tuple[str, str], Decimal], sheet: str, rows: Sequence[Sequence[Content]]
) -> bytes:
    """The copy: `numbers` by sheet and cell, and `rows` added at the end of a sheet, which is made with the first as
    its titles where there is none; where there is one, the titles are left out. Raises CannotEdit, BadPackage.
    """
    book = read_workbook_part(package)
    parts = {one.name: one.part for one in book.sheets}
    changed: dict[str, str] = {}
    for (name, cell), number in numbers.items():
        part = parts[name]
        changed[part] = _with_number(changed.get(part) or _text(package, part), name, cell, number)
    known = next((part for name, part in parts.items() if name.casefold() == sheet.casefold()), None)
    if known is not None:
        changed[known] = _with_rows(changed.get(known) or _text(package, known), rows[1:])
    else:
        changed |= _with_sheet(package, book.part, sheet, rows)
    if has_formulas(package):
        changed[book.part] = _worked_out_again(changed.get(book.part) or _text(package, book.part))
    return _packed(package, changed)


def has_formulas(package: Package) -> bool:
    """True where any sheet holds a formula."""
    parts = (one.part for one in read_workbook_part(package).sheets)
    return any(re.search(rb"<(?:[\w.-]+:)?f[\s>/]", package.read(part)) for part in parts)


def _text(package: Package, part: str) -> str:
    return package.read(part).decode("utf-8-sig")


def _with_number(text: str, sheet: str, cell: str, number: Decimal) -> str:
    root = re.search(r"<([\w.-]+:)?worksheet\b", text)
    prefix = (root[1] if root else None) or ""
    found = re.search(_CELL.format(prefix=re.escape(prefix), address=re.escape(cell)), text, re.DOTALL)
    if found is None:
        raise CannotEdit(sheet, cell, formula=False)
    if re.search(rf"<{prefix}f[\s>/]", found["body"] or ""):
        raise CannotEdit(sheet, cell, formula=True)
    attributes = _TYPE.sub("", f'{found["before"]}r="{cell}"{found["after"]}').rstrip()
    made = f"<{prefix}c{attributes}><{prefix}v>{number:f}</{prefix}v></{prefix}c>"
    return text[: found.start()] + made + text[found.end() :]


def _with_rows(text: str, rows: Iterable[Sequence[Content]]) -> str:
    found = re.search(r"<(?P<prefix>[\w.-]+:)?sheetData\s*/>|</(?P<other>[\w.-]+:)?sheetData>", text)
    if found is None:
        raise CannotEdit("", "", formula=False)
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


def _worked_out_again(text: str) -> str:
    """The workbook part, asking to be worked out when it is opened."""
    found = re.search(r"<(?P<prefix>[\w.-]+:)?calcPr\b(?P<rest>[^<>]*?)(?P<end>/?>)", text)
    if found is not None:
        rest = re.sub(r'\sfullCalcOnLoad="[^"]*"', "", found["rest"])
        made = f'<{found["prefix"] or ""}calcPr{rest} fullCalcOnLoad="1"{found["end"]}'
        return text[: found.start()] + made + text[found.end() :]
    last = r"</(?P<prefix>[\w.-]+:)?(?:definedNames|externalReferences|functionGroups|sheets)>"
    end = list(re.finditer(last, text))[-1]
    return f'{text[: end.end()]}<{end["prefix"] or ""}calcPr fullCalcOnLoad="1"/>{text[end.end() :]}'


def _packed(package: Package, changed: Mapping[str, str]) -> bytes:
    """The package with its parts in their order, changed ones as they are now, new ones at the end."""
    new = {name.lower(): (name, text) for name, text in changed.items()}
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as out:
        for key, info in package.members.items():
            data = new.pop(key)[1].encode() if key in new else package.read(key)
            kept = zipfile.ZipInfo(info.filename, info.date_time)
            kept.compress_type, kept.external_attr = zipfile.ZIP_DEFLATED, info.external_attr
            out.writestr(kept, data)
        for name, text in new.values():
            added = zipfile.ZipInfo(name)
            added.compress_type = zipfile.ZIP_DEFLATED
            out.writestr(added, text.encode())
    return held.getvalue()
