"""The bare floor of reading and writing: the libraries underneath alone, on the same files and with the same cells.

Reading: the shop book and the job, as records with every problem looked for, against python-calamine giving the same
sheets as lists, and against zipfile and expat that only walk through their XML. Writing: the customer's quote and the
costing, laid out and written, against XlsxWriter writing the cells that stand in them, bare. In this process, warm, by
processor time.
"""

from __future__ import annotations

import tempfile
import zipfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any
from xml.parsers import expat

from tests.bench.bench_quote import cells_of, large_book, read
from tests.bench.paired import here, in_turn
from tests.bench.table import Row, slower
from tests.recalculation.examples import EXAMPLES

READING = "Reading a shop book and a job"
WRITING = "Writing the customer's quote and the costing"


def by_calamine(paths: Sequence[Path]) -> list[Any]:
    """Every sheet as lists of rows, by python-calamine alone."""
    from python_calamine import CalamineWorkbook

    books = [CalamineWorkbook.from_path(str(path)) for path in paths]
    return [book.get_sheet_by_name(name).to_python() for book in books for name in book.sheet_names]


def by_expat(paths: Sequence[Path]) -> int:
    """Every part of XML walked through by expat; elements counted."""
    found = 0

    def count(*_: object) -> None:
        nonlocal found
        found += 1

    for path in paths:
        with zipfile.ZipFile(path) as package:
            for name in package.namelist():
                if name.endswith((".xml", ".rels")):
                    parser = expat.ParserCreate()
                    parser.StartElementHandler = count
                    parser.Parse(package.read(name), True)
    return found


def bare_writing(sheets: Sequence[Sequence[Sequence[Any]]], path: Path) -> None:
    """The same cells by XlsxWriter alone."""
    import xlsxwriter

    workbook = xlsxwriter.Workbook(str(path))
    for rows in sheets:
        sheet = workbook.add_worksheet()
        for number, row in enumerate(rows):
            for column, value in enumerate(row):
                if value != "":
                    sheet.write(number, column, value)
    workbook.close()


def measure(rounds: int, parts: int) -> list[Row]:
    """Every row of both sections."""
    job = EXAMPLES[1]
    book = job.parent / "shop book.xlsx"
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        large = folder / "shop book.xlsx"
        large_book(book, large, parts)
        rows = _reading("the example", (book, job), rounds)
        rows += _reading(f"with {parts:,} more parts", (large, job), max(3, rounds // 3))
        return rows + _writing((book, job), folder, rounds)


def _reading(what: str, paths: tuple[Path, Path], rounds: int) -> list[Row]:
    jobs = {
        "ours": here(lambda: read(*paths)),
        "python-calamine alone": here(lambda: by_calamine(paths)),
        "zipfile and expat": here(lambda: by_expat(paths)),
    }
    taken = in_turn(rounds, jobs)
    return [slower(READING, what, taken, "ours", other) for other in list(jobs)[1:]]


def _writing(paths: tuple[Path, Path], folder: Path, rounds: int) -> list[Row]:
    from quotekit.cli.quote import _write_costing
    from quotekit.pricing import build_quote
    from quotekit.workbook.write_sheet import write_customer_quote

    quote = build_quote(*read(*paths))
    customer, costing, bare = folder / "quote.xlsx", folder / "costing.xlsx", folder / "bare.xlsx"
    problems = list(quote.problems)
    write_customer_quote(quote, customer, photos={})
    _write_costing(quote, problems, folder, paths, costing)
    of_customer, of_costing = cells_of([customer]), cells_of([costing])
    taken = in_turn(
        rounds,
        {
            "quote": here(lambda: write_customer_quote(quote, customer, photos={})),
            "its cells by XlsxWriter": here(lambda: bare_writing(of_customer, bare)),
            "costing": here(lambda: _write_costing(quote, problems, folder, paths, costing)),
            "cells of the costing by XlsxWriter": here(lambda: bare_writing(of_costing, bare)),
        },
    )
    return [
        slower(WRITING, "the quote, live", taken, "quote", "its cells by XlsxWriter"),
        slower(WRITING, "the costing, explained", taken, "costing", "cells of the costing by XlsxWriter"),
    ]
