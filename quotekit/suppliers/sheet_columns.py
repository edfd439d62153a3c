"""The rows of a workbook's sheet as columns of text."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from quotekit.problems import Place, Problem, error, warning
from quotekit.record import record
from quotekit.suppliers.delimited import LONG, REGULAR, SHAPE, SHORT, Layout, TextColumns, framed, shaped
from quotekit.workbook.list_rows import ListSheet, StoredNumber, choose_sheet, list_sheets
from quotekit.workbook.package import BadPackage

_MOST_SHEETS = 40


@record
class SheetColumns:
    """The columns of a sheet, how many texts of the first are stored as numbers, and what could not be read."""

    columns: TextColumns
    stored_numbers: int
    problems: tuple[Problem, ...]


def open_sheet(file: str, data: bytes, kind: str, name: str) -> tuple[ListSheet | None, list[ListSheet], list[Problem]]:
    """The named sheet of a workbook, without a name its only one; and those beside it that are shown."""
    sheets, problems = list_sheets(file, data, kind)
    if problems:
        return None, [], problems
    chosen, problems = choose_sheet(file, sheets, name)
    return chosen, [sheet for sheet in sheets if sheet is not chosen and not sheet.hidden][:_MOST_SHEETS], problems


def first_rows(sheet: ListSheet, count: int) -> tuple[list[list[str]], list[Problem]]:
    """The first rows of a sheet, blank ones too."""
    found: list[list[str]] = []
    try:
        for row, cells in sheet.read():
            if row > count:
                break
            found += [[] for _ in range(row - 1 - len(found))] + [list(cells)]
    except BadPackage as fault:
        return found, [error(Place("", sheet.name), fault.code, str(fault), fault.remedy)]
    return found, []


def sheet_columns(
    file: str, sheet: ListSheet, above: int, places: Sequence[int], amounts: Collection[int], mark: str
) -> SheetColumns:
    """The columns at some places from the row below `above`; stored numbers get the list's decimal mark in `amounts`.

    The first place is that of the supplier's number.
    """
    layout = Layout(separator="\t", quoted=False, fields=max(places) + 1, above=above)
    last = stored = 0

    def records() -> Iterator[tuple[int, list[str]]]:
        nonlocal last, stored
        for row, cells in sheet.read():
            for blank in range(max(last + 1, above + 1), row):
                yield blank, []
            last = max(last, row)
            if row > above:
                stored += len(cells) > places[0] and isinstance(cells[places[0]], StoredNumber)
                yield row, _marked(cells, amounts, mark)

    problems: list[Problem] = []
    frames = []
    try:
        for chunk in shaped(records(), layout, places):
            frames.append(framed(chunk, places))
    except BadPackage as fault:
        problems.append(error(Place(file, sheet.name), fault.code, str(fault), fault.remedy))
    import polars as pl

    whole = pl.concat(frames) if frames else framed([], places)
    shape = pl.when(pl.col(SHAPE).is_in([SHORT, LONG])).then(pl.lit(REGULAR, dtype=pl.UInt8)).otherwise(pl.col(SHAPE))
    whole = whole.with_columns(
        shape.alias(SHAPE)
    )  # a sheet's row ends with its last filled cell, and cells stay in their columns
    if sheet.unread.count:
        cells = "; ".join(f"{cell}: {why}" for cell, why in sheet.unread.first)
        message = f"{sheet.unread.count:,} cells cannot be trusted and count as blank ({cells})"
        remedy = "Open it in the spreadsheet and save it again, or ask the supplier."
        problems.append(
            warning(Place(file, sheet.name, sheet.unread.first[0][0]), "list-cells-unread", message, remedy)
        )
    return SheetColumns(columns=TextColumns(frame=whole, rows=last), stored_numbers=stored, problems=tuple(problems))


def _marked(cells: Sequence[str], amounts: Collection[int], mark: str) -> list[str]:
    """Amounts as texts of the list: with its decimal mark, and the currency that their cell shows."""
    return [
        f"{cell.replace('.', mark)} {cell.currency}".rstrip()
        if at in amounts and isinstance(cell, StoredNumber)
        else cell
        for at, cell in enumerate(cells)
    ]
