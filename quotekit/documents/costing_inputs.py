"""Every input the tiers used, with its value and its cell: settings, the job, work, parts, suppliers and rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from quotekit.documents.costing_input_line import InputLine
from quotekit.documents.costing_inputs_book import part_inputs, rule_inputs, work_inputs
from quotekit.documents.costing_inputs_job import job_inputs, setting_inputs
from quotekit.documents.costing_style import head, note, section, sheet
from quotekit.documents.sheet import Row, Sheet, row, text
from quotekit.model.quote import Quote

COLUMNS = 4
WIDTHS = (40.0, 28.0, 29.0, 21.0)


def lay_out_inputs(quote: Quote, name: str) -> Sheet:
    """The sheet, a section a kind of input."""
    rows = [
        row(text("Inputs", "title", COLUMNS)),
        note(
            f"`job` before a cell means the job workbook {quote.job.file}; the others are in {quote.book.file}.",
            COLUMNS,
        ),
        *_table("The job", job_inputs(quote)),
        *_table("Shop settings", setting_inputs(quote)),
        *_table("Work", work_inputs(quote)),
        *_table("Parts and suppliers", part_inputs(quote)),
        *_table("Rates and rules", rule_inputs(quote)),
    ]
    return sheet(quote, name, rows, WIDTHS)


def _table(title: str, lines: Iterable[InputLine]) -> Iterator[Row]:
    yield from section(title, COLUMNS)
    yield head("What", "Input", "Value", "Cell")
    before = ""
    for line in lines:
        what = "" if line.what == before else line.what
        yield row(text(what), text(line.column), text(line.value), text(line.cell, "cell"))
        before = line.what
