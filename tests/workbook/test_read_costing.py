"""A costing read back: what was written is what is read, with each input's cell."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from quotekit.documents.compare_figures import figures_of
from quotekit.documents.costing_explained import shown
from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.comparison import FigureName
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_quote
from quotekit.problems import Place
from quotekit.workbook.cell_texts import cells_in
from quotekit.workbook.read_costing import EVERY_NUMBER, ReadCosting, read_costing
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_sheet import write_costing
from tests.workbook.typed import book_file, job_file


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Quote, Path]:
    folder = tmp_path_factory.mktemp("costing")
    book, _ = read_shop_book(book_file(folder, "prices"))
    assert book is not None
    job, _ = read_job(job_file(folder, "job 117"), book)
    assert job is not None
    quote = build_quote(book, job)
    path = folder / "117-1 costing.xlsx"
    write_costing(quote, path, trees=explain_quote(quote, shown))
    return quote, path


def costing(path: Path) -> ReadCosting:
    found, problems = read_costing(path)
    assert found is not None and problems == [], problems
    return found


def test_which_job_and_which_files(written: tuple[Quote, Path]) -> None:
    found = costing(written[1])
    assert (found.job, found.version) == ("117", "1")
    assert (found.job_file, found.book_file) == ("job 117.xlsx", "prices.xlsx")
    assert (found.setting("Currency"), found.setting("Language"), found.setting("No such")) == ("USD", "en_US", "")


def test_every_figure_read_is_the_quotes(written: tuple[Quote, Path]) -> None:
    """Whatever a costing shows under a figure's name is that figure."""
    quote, path = written
    known = figures_of(lay_out_quote_json(quote))
    read = {name: one for name, one in costing(path).figures.items() if one.number is not None}
    assert {name: one.number for name, one in read.items()} == {name: known[name].number for name in read}
    for tier in quote.tiers:
        for figure in ("total", "work", "amounts.labour", "parts.BUSHING.amount", "margin", "cost.total"):
            assert FigureName("117", tier.code, figure) in read


def test_the_cells_behind_a_figure(written: tuple[Quote, Path]) -> None:
    """Of both options, under the codes of their tiers."""
    cells = costing(written[1]).cells
    for tier in ("good", "better"):
        assert "Parts!D2" in cells[FigureName("117", tier, "parts.BUSHING.amount")]
        assert "Labour rates!C2" in cells[FigureName("117", tier, "amounts.labour")]
    assert "Parts!D3" in cells[FigureName("117", "better", "parts.BELT.amount")]


def test_inputs_with_their_cells(written: tuple[Quote, Path]) -> None:
    found = costing(written[1])
    lines = {(line.what, line.column): (line.value, line.cell) for line in found.inputs}
    assert lines["Labour rate MAIN", "Rate per hour"] == ("90", "Labour rates!C2")
    assert lines["Bushing worn (WORN@left)", "Measured"] == ("0.761 in", "job Findings!C2")
    assert lines["Shop", "Hours step"] == ("0.1", "default")
    assert found.place("Labour rates!C2") == Place("prices.xlsx", "Labour rates", "C2")
    assert found.place("job Findings!C2") == Place("job 117.xlsx", "Findings", "C2")
    assert found.place("default") is None


def test_a_costing_of_before_gives_its_summary(written: tuple[Quote, Path], tmp_path: Path) -> None:
    quote, path = written
    book = openpyxl.load_workbook(path)
    del book[EVERY_NUMBER]
    book.save(tmp_path / "older.xlsx")
    found = costing(tmp_path / "older.xlsx")
    assert found.cells == {}
    total = found.figures[FigureName("117", "good", "total")]
    assert total.number == quote.tiers[0].total
    assert found.figures[FigureName("117", None, "declined.total")].number == quote.declined.total


@pytest.mark.parametrize(
    ("text", "cells"),
    [
        ("Parts!D14", {"Parts!D14"}),
        ("Parts!D14; D16", {"Parts!D14", "Parts!D16"}),
        ("Parts!D14:E15", {"Parts!D14", "Parts!D15", "Parts!E14", "Parts!E15"}),
        ("job Job!B8, Shop!B2", {"job Job!B8", "Shop!B2"}),
        ("Labour rates!$C$2", {"Labour rates!C2"}),
        ("default", set()),
        ("", set()),
        ("Parts!A1:XFD1048576", set()),
    ],
)
def test_cells_in_a_text(text: str, cells: set[str]) -> None:
    """A range that no costing writes is left out, so that a spoiled file takes no memory."""
    assert cells_in(text) == cells
