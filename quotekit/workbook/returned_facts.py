"""What a returned quote says of itself, in the cells it names for the purpose."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from quotekit.documents.fingerprint import CHOSEN_TIER, MARKS, Content, sealed_content
from quotekit.documents.option_mentions import OfferedOption
from quotekit.problems import Place, Problem, error
from quotekit.workbook.addresses import Position, address
from quotekit.workbook.defined_names import Area
from quotekit.workbook.returned_cells import RawCell, RawWorkbook

_FACTS = ("quote_number", "quote_version", "quote_date", "quote_valid_until", "offered_options", MARKS)
_FIRST_DAY = date(1899, 12, 30).toordinal()
_DAYS_1904 = 1462
_MOST_ROWS = 5_000
_BLANK = RawCell("s", "")


@dataclass(frozen=True, kw_only=True)
class ReturnedExtra:
    """An extra: its key, the name of its box, and a letter for each option: o offered, i included, n none."""

    key: str
    name: str
    places: str = ""


@dataclass(frozen=True, kw_only=True)
class ReturnedQuote:
    """A quote of ours, as it came back."""

    raw: RawWorkbook
    number: str
    version: int | None
    quote_date: date | None
    valid_until: date | None
    options: tuple[OfferedOption, ...]
    extras: tuple[ReturnedExtra, ...]
    marks: tuple[str, ...]
    content: Content

    @property
    def fingerprint(self) -> str:
        """The first mark."""
        return self.marks[0] if self.marks else ""

    def place(self, name: str) -> Place:
        """Where a name stands; the file alone for a name that is gone."""
        area = self.raw.names.get(name)
        return Place(self.raw.file, area[0], address(area[1], area[2])) if area else Place(self.raw.file)

    def cell(self, name: str) -> RawCell:
        """What stands in the cell of a name; a blank cell for a name that is gone."""
        area = self.raw.names.get(name)
        return cell_at(self.raw, area[0], (area[1], area[2])) if area else _BLANK

    @property
    def choice_sheet(self) -> str:
        """The sheet with the boxes: that of the drop-down, else the first."""
        area = self.raw.names.get(CHOSEN_TIER)
        return area[0] if area else next(iter(self.raw.sheets), "")


def cell_at(raw: RawWorkbook, sheet: str, position: Position) -> RawCell:
    """What stands in a cell."""
    return raw.sheets.get(sheet, {}).get(position, _BLANK)


def returned_quote(raw: RawWorkbook) -> tuple[ReturnedQuote | None, list[Problem]]:
    """The quote in a workbook, or that there is none."""
    missing = [name for name in _FACTS if name not in raw.names]
    options = tuple(OfferedOption(code=code, label=label) for code, label, *_ in _table(raw, "offered_options"))
    number = _text(raw, "quote_number")
    if missing or not options or not number:
        lacks = f"the name {missing[0]}" if missing else "its number" if options else "the list of its options"
        message = f"This is no quote that can be read back: it lacks {lacks}."
        return None, [
            error(Place(raw.file), "not-a-quote", message, "Give the .xlsx quote that the customer sent back.")
        ]
    cells = {
        sheet: {position: cell.canonical for position, cell in of_sheet.items()}
        for sheet, of_sheet in raw.sheets.items()
    }
    return ReturnedQuote(
        raw=raw,
        number=number,
        version=_version(raw),
        quote_date=_date(raw, "quote_date"),
        valid_until=_date(raw, "quote_valid_until"),
        options=options,
        extras=tuple(_extras(raw)),
        marks=tuple(mark for (mark, *_) in _table(raw, MARKS)),
        content=sealed_content(_spoken(cells), raw.names),
    ), []


def _spoken(cells: dict[str, dict[Position, str]]) -> dict[str, dict[Position, str]]:
    """Without the cells that say nothing, such as those of spaces alone."""
    return {sheet: {place: said for place, said in of_sheet.items() if said} for sheet, of_sheet in cells.items()}


def _extras(raw: RawWorkbook) -> Iterator[ReturnedExtra]:
    for key, name, *places in _table(raw, "offered_extras"):
        if key and name:
            yield ReturnedExtra(key=key, name=name, places=places[0] if places else "")


def _table(raw: RawWorkbook, name: str) -> Iterator[list[str]]:
    """The texts of an area row by row; rows whose first cell is blank are left out."""
    if name not in raw.names:
        return
    sheet, first_row, first_column, last_row, last_column = raw.names[name]
    columns = range(first_column, min(last_column, first_column + 9) + 1)
    for row in range(first_row, min(last_row, first_row + _MOST_ROWS) + 1):
        texts = [_as_text(cell_at(raw, sheet, (row, column))) for column in columns]
        if texts[0]:
            yield [*texts, ""] if len(texts) == 1 and name != MARKS else texts


def _text(raw: RawWorkbook, name: str) -> str:
    return _as_text(_value_cell(raw, name))


def _as_text(cell: RawCell) -> str:
    value = cell.value
    if isinstance(value, Decimal):
        return f"{value:f}"
    return " ".join(value.split()) if isinstance(value, str) else ""


def _version(raw: RawWorkbook) -> int | None:
    text = _text(raw, "quote_version")
    return int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else None


def _date(raw: RawWorkbook, name: str) -> date | None:
    value = _value_cell(raw, name).value
    if isinstance(value, Decimal) and 0 < value < 2_900_000:
        return date.fromordinal(_FIRST_DAY + int(value) + (_DAYS_1904 if raw.date_1904 else 0))
    return None


def _value_cell(raw: RawWorkbook, name: str) -> RawCell:
    area: Area | None = raw.names.get(name)
    return cell_at(raw, area[0], (area[1], area[2])) if area else _BLANK
