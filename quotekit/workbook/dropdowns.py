"""Drop-downs of an input workbook: which list a cell offers, and the named ranges the lists are.

A drop-down offers and never refuses: a cell may hold several codes, or a word in other capitals. The reader checks it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from xlsxwriter.utility import xl_col_to_name

from quotekit.model.shop_book import ShopBook
from quotekit.record import record
from quotekit.workbook.column import Column, Field
from quotekit.workbook.input_sheet import InputSheet

SIDES = "Sides"
OTHER = "OTHER"
MOST_ROWS = 2000
FIRST_ROW = 2
"""Rows before the first row of a table: the line of help and the header."""


@record
class CodeList:
    """A block of the Lists sheet: what may be picked, and what each means."""

    sheets: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    @property
    def name(self) -> str:
        """The name of the range of its first column."""
        return range_name(self.sheets)


def range_name(sheets: Iterable[str]) -> str:
    """The name of the range that lists the codes of some sheets.

    >>> range_name(("Labour rates",)), range_name(("Remedies", "Extras"))
    ('list_Labour_rates', 'list_Remedies_Extras')
    """
    return "list_" + "_".join(sheets).replace(" ", "_")


def ranges_within(sheets: Iterable[InputSheet]) -> dict[str, str]:
    """Named ranges over the Code columns of a shop book's own sheets; each grows with its rows."""
    found = {}
    for sheet in sheets:
        headers = [column.header for column in sheet.columns]
        if "Code" in headers:
            letter = xl_col_to_name(headers.index("Code"), col_abs=True)
            quoted = f"'{sheet.declared.name}'!"
            first, last = f"{quoted}{letter}${FIRST_ROW + 1}", f"{letter}${MOST_ROWS}"
            count = f"MAX(1,COUNTA({first}:{last}))"
            found[range_name((sheet.declared.name,))] = f"={first}:INDEX({first}:{last},{count})"
    return found


def code_lists(book: ShopBook) -> list[CodeList]:
    """What a job may pick from a shop book, in the order of its sheets; an empty list is left out."""
    lists = [
        _machines(book),
        _findings(book),
        CodeList(sheets=(SIDES,), headers=("Side",), rows=tuple((side,) for side in _sides(book))),
        _pairs("Conditions", ((each.code, each.name) for each in book.conditions.values())),
        _pairs("Extras", ((each.code, each.extra) for each in book.extras.values())),
        _pairs("Fees", ((each.code, each.fee) for each in book.fees.values())),
        _pairs("Labour rates", {each.code: (each.code, each.name) for each in book.labour_rates}.values()),
        _pairs("Tiers", ((each.code, each.tier) for each in book.tiers)),
        _pairs("Access", ((each.code, each.step) for each in book.access.values())),
        _pairs("Suppliers", ((each.code, each.supplier) for each in (book.suppliers or {}).values())),
        _pairs("Parts", ((each.code, each.part) for each in book.parts.values())),
        CodeList(sheets=("Remedies", "Extras", "Operations"), headers=("Code", "In words"), rows=_items(book)),
    ]
    return [each for each in lists if each.rows]


def validation(cell: Column | Field, ranges: Mapping[str, str]) -> dict[str, object] | None:
    """What XlsxWriter needs to offer a list in a cell; None where there is nothing to offer."""
    source = _source(cell, ranges)
    if source is None:
        return None
    return {
        "validate": "list",
        "source": source,
        "show_error": cell.kind == "word",
        "error_type": "warning",
        "error_title": _title(cell)[:32],
        "error_message": "Pick one from the list, or leave it blank. No other word is read.",
    }


def help_on(cell: Column | Field) -> dict[str, object]:
    """The note a person sees when the header or the value cell is picked."""
    asked = "Required. " if cell.required else ""
    default = f" Blank means {cell.default}." if isinstance(cell, Field) and cell.default else ""
    return {"input_title": _title(cell)[:32], "input_message": f"{asked}{cell.help}{default}"[:255]}


def _title(cell: Column | Field) -> str:
    return cell.header if isinstance(cell, Column) else cell.name


def _source(cell: Column | Field, ranges: Mapping[str, str]) -> object | None:
    if cell.kind == "yes/no":
        return ["Yes", "No"]
    if cell.kind in ("word", "credit") or (cell.kind == "words" and cell.words):
        return list(cell.words)
    name = range_name((SIDES,)) if cell.kind == "sides" else range_name(cell.refers_to)
    return f"={name}" if name in ranges else None


def _pairs(title: str, rows: Iterable[tuple[str, str]]) -> CodeList:
    return CodeList(sheets=(title,), headers=("Code", "In words"), rows=tuple(rows))


def _machines(book: ShopBook) -> CodeList:
    machines = (book.machines or {}).values()
    rows = tuple((each.code, each.machine_class, "; ".join(each.positions)) for each in machines)
    return CodeList(sheets=("Machines",), headers=("Code", "Machine class", "Sides"), rows=rows)


def _findings(book: ShopBook) -> CodeList:
    rows: list[tuple[str, ...]] = [
        (each.code, each.finding, "; ".join(each.machines), each.severity, _to_measure(each.measure, each.unit))
        for each in book.findings.values()
    ]
    rows.append((OTHER, "Not listed: say what in Note, give a Severity", "", "", ""))
    return CodeList(
        sheets=("Findings",), headers=("Code", "Finding", "Machine", "Severity", "Measure"), rows=tuple(rows)
    )


def _to_measure(measure: str, unit: str) -> str:
    return f"{measure} ({unit})" if measure and unit else measure


def _sides(book: ShopBook) -> list[str]:
    classes = [each.positions for each in (book.machines or {}).values()] or [("left", "right")]
    return [*dict.fromkeys(side for positions in classes for side in positions), "both", "all"]


def _items(book: ShopBook) -> tuple[tuple[str, str], ...]:
    return (
        *((each.code, each.remedy) for each in book.remedies.values()),
        *((each.code, each.extra) for each in book.extras.values()),
        *((each.code, each.operation) for each in book.operations.values()),
    )
