"""Every input the tiers used, with its value and its cell: settings, the job, work, parts, suppliers and rules."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from quotekit.documents.cell_links import Addresses, linked
from quotekit.documents.costing_input_line import InputLine
from quotekit.documents.costing_inputs_book import part_inputs, rule_inputs, work_inputs
from quotekit.documents.costing_inputs_job import job_inputs, setting_inputs
from quotekit.documents.costing_style import head, note, section, sheet
from quotekit.documents.sheet import Row, Sheet, row, text
from quotekit.model.quote import Quote

COLUMNS = 4
MOST_TOGETHER = 20
"""Inputs of one thing that are kept on one page, where its name stands."""
WIDTHS = (33.0, 22.0, 21.0, 15.0)


def lay_out_inputs(quote: Quote, name: str, addresses: Addresses) -> Sheet:
    """The sheet, a section a kind of input; a cell leads where its workbook has an address."""
    rows = [
        row(text("Inputs", "title", COLUMNS)),
        note(
            f"`job` before a cell means the job workbook {quote.job.file}; the others are in {quote.book.file}.",
            COLUMNS,
        ),
        head("What", "Input", "Value", "Cell"),
        *_table("The job", job_inputs(quote), addresses),
        *_table("Shop settings", setting_inputs(quote), addresses),
        *_table("Work", work_inputs(quote), addresses),
        *_table("Parts and suppliers", part_inputs(quote), addresses),
        *_table("Rates and rules", rule_inputs(quote), addresses),
    ]
    return sheet(quote, name, rows, WIDTHS, upright=True, one_head=True)


def _table(title: str, lines: Iterable[InputLine], addresses: Addresses) -> Iterator[Row]:
    yield from section(title, COLUMNS)
    for what, group in groupby(lines, key=lambda line: line.what):
        together = list(group)
        for place, line in enumerate(together, start=1):
            cell = linked(line.place, line.cell, addresses) if line.place else text(line.cell, "cell")
            named = text(what if place == 1 else "")
            kept = place < len(together) <= MOST_TOGETHER
            yield row(named, text(line.column), text(line.value), cell, keep=kept)
