"""Reads a costing back: the figures of each tier, the inputs with their cells, and the cells behind each figure.

What can be read hangs on what was written: a costing without the sheet `Every number` gives the figures of its summary,
and no cells behind them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path

from quotekit.documents.compare_figures import number_of
from quotekit.documents.costing import INPUTS, SUMMARY
from quotekit.documents.costing_input_line import InputLine
from quotekit.model.comparison import Figure, FigureName, Figures
from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.addresses import Position
from quotekit.workbook.cell_texts import cells_in
from quotekit.workbook.package import Package
from quotekit.workbook.returned_cells import RawCell, RawWorkbook, read_raw

EVERY_NUMBER = "Every number"

DONE = "What is done"

_TITLE = re.compile(r"Costing of job (.*), version ([0-9]+)")
_FILES = re.compile(r"`job` before a cell means the job workbook (.*); the others are in (.*)\.")
_TIER = re.compile(r"(.*)\s\(([^()]+)\)")
_HEAD = ("What", "Input", "Value", "Cell")
LABELS = {
    "Offered": "offered",
    DONE: "items",
    "Faults left": "left",
    "Ready, working days": "ready_days",
    "Labour": "amounts.labour",
    "Parts": "amounts.parts",
    "Core charges": "amounts.cores",
    "Sublet": "amounts.sublet",
    "Savings and discount": "amounts.savings",
    "Supplies": "amounts.supplies",
    "Fees and charges": "amounts.fees",
    "Freight charged": "amounts.freight",
    "Work": "work",
    "Inspection fee": "amounts.inspection",
    "Inspection fee credited": "amounts.inspection_credit",
    "Subtotal": "subtotal",
    "Tax": "tax",
    "Total to pay": "total",
    "Due, after what was paid": "due",
    "Deposit when work is agreed": "deposit",
    "Cost of labour": "cost.labour",
    "Cost of parts used": "cost.parts_used",
    "Core charges paid": "cost.cores",
    "Cost of sublet": "cost.sublet",
    "Freight paid": "cost.freight",
    "Cost": "cost.total",
    "Margin (subtotal less cost)": "margin",
    "Cash for parts, whole packs": "cash_for_parts",
    "Cost over the years compared": "horizon_cost",
}
"""Lines of the summary by the name of their figure."""

Rows = list[dict[int, RawCell]]


@record
class ReadCosting:
    """A costing as it stands in a file. `cells` are spelled as on its Inputs sheet: `Parts!D14`, `job Job!B8`."""

    file: str
    job: str
    version: str
    figures: Figures
    inputs: tuple[InputLine, ...]
    cells: Mapping[FigureName, frozenset[str]]
    job_file: str = "job"
    book_file: str = "shop book"

    def setting(self, name: str) -> str:
        """What a setting of the shop said, empty where it is not listed."""
        return next((line.value for line in self.inputs if (line.what, line.column) == ("Shop", name)), "")

    def place(self, cell: str) -> Place | None:
        """Where a cell of the Inputs sheet is; None for a default."""
        file, spot = (self.job_file, cell[4:]) if cell.startswith("job ") else (self.book_file, cell)
        sheet, _, address = spot.rpartition("!")
        return Place(file, sheet, address) if sheet else None


def read_costing(path: Path | Package) -> tuple[ReadCosting | None, list[Problem]]:
    """The costing in a file, or why there is none."""
    raw, problems = read_raw(path)
    if raw is None:
        return None, problems
    summary = _rows(raw, SUMMARY)
    title = _first(summary[:3], _TITLE)
    if title is None:
        message = "this is no costing that can be read back: its summary does not name the job"
        return None, [error(Place(raw.file, SUMMARY), "not-a-costing", message, "Give the .xlsx costing as written.")]
    job = title[1]
    figures, cells = _every_number(job, _rows(raw, EVERY_NUMBER), _tiers(summary))
    inputs = _rows(raw, INPUTS)
    files = _first(inputs[:4], _FILES)
    return ReadCosting(
        file=raw.file,
        job=job,
        version=title[2],
        figures={**dict(_of_summary(job, summary)), **figures},
        inputs=tuple(_input_lines(inputs)),
        cells=cells,
        **({"job_file": files[1], "book_file": files[2]} if files else {}),
    ), []


def _first(rows: Rows, pattern: re.Pattern[str]) -> re.Match[str] | None:
    """The first text of some rows that a pattern describes."""
    texts = (_text(cell) for row in rows for cell in row.values())
    return next((match for text in texts if (match := pattern.fullmatch(text))), None)


def _rows(raw: RawWorkbook, name: str) -> Rows:
    """The rows of a sheet that hold something, in order."""
    sheet: Mapping[Position, RawCell] = raw.sheets.get(name, {})
    found: dict[int, dict[int, RawCell]] = {}
    for (row, column), cell in sorted(sheet.items()):
        found.setdefault(row, {})[column] = cell
    return list(found.values())


def _text(cell: RawCell | None) -> str:
    value = None if cell is None else cell.value
    if isinstance(value, Decimal):
        return f"{value:f}"
    return value if isinstance(value, str) else ""


def _figure(cell: RawCell) -> Figure:
    text = _text(cell)
    return Figure(text=text.replace("\n", "; "), number=number_of(text))


def _listed(found: Figure) -> Figure:
    """Codes are told alike, however many there are: few stand in a line each, many in one text."""
    return Figure(text=(found.text or "").replace(", ", "; "), number=found.number)


def _tiers(summary: Rows) -> list[tuple[str, str]]:
    """Name and code of each tier, in their order."""
    for row in summary:
        named = [match for column in sorted(row) if (match := _TIER.fullmatch(_text(row[column])))]
        if 1 not in row and named:
            return [(match[1], match[2]) for match in named]
    return []


def _of_summary(job: str, rows: Rows) -> Iterator[tuple[FigureName, Figure]]:
    """The figures of the summary, by the tiers in the row above them."""
    tiers: dict[int, str] = {}
    for row in rows:
        named = {column: match[2] for column, cell in row.items() if (match := _TIER.fullmatch(_text(cell)))}
        label = _text(row.get(1))
        if not label and named:
            tiers = named
        elif label == "A no costs" and 2 in row:
            yield FigureName(job, None, "declined.total"), _figure(row[2])
        elif label == "If the customer declines":
            tiers = {}
        elif label in LABELS:
            for column, tier in tiers.items():
                if column in row:
                    found = _figure(row[column])
                    yield FigureName(job, tier, LABELS[label]), _listed(found) if label == DONE else found


def _every_number(
    job: str, rows: Rows, tiers: Sequence[tuple[str, str]]
) -> tuple[dict[FigureName, Figure], dict[FigureName, frozenset[str]]]:
    """Figures with the cells they are worked out from: a section a tier, more cells in rows without a figure."""
    figures: dict[FigureName, Figure] = {}
    cells: dict[FigureName, frozenset[str]] = {}
    left = list(tiers)
    tier, name, first = "", FigureName(job, None, ""), 0
    for row in rows:
        title = _text(row.get(1))
        if len(row) == 1 and any(title == known for known, _ in left):
            at = next(number for number, (known, _) in enumerate(left) if known == title)
            tier = left.pop(at)[1]
        elif title == "Figure":
            first = next((column for column, cell in row.items() if _text(cell) == "Cells"), 0)
        elif first and tier:
            if title:
                name = FigureName(job, tier, title)
                figures[name] = _figure(row[2]) if 2 in row else Figure(text=None)
            named = (_text(cell) for column, cell in row.items() if column >= first)
            cells[name] = cells.get(name, frozenset()).union(*(cells_in(one) for one in named))
    return figures, cells


def _input_lines(rows: Rows) -> list[InputLine]:
    """The rows of the Inputs sheet, what each belongs to filled in; a long value goes on in rows without an input."""
    found: list[InputLine] = []
    what, inside = "", False
    for row in rows:
        texts = [_text(row.get(column)) for column in range(1, 5)]
        if tuple(texts) == _HEAD:
            inside = True
        elif inside and texts[1]:
            what = texts[0] or what
            found.append(InputLine(what, texts[1], texts[2], texts[3]))
        elif found and texts[2]:
            found[-1] = found[-1]._replace(value=f"{found[-1].value} {texts[2]}")
    return found
