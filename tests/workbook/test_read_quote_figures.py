"""What a customer sees, read back by option; and what a file is by its content."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest

from quotekit.model.comparison import FigureName, Figures
from quotekit.workbook.compared_kind import kind_of_file
from quotekit.workbook.read_quote_figures import quote_figures_of
from quotekit.workbook.read_returned import read_quote
from tests.cli.small_shop import write_book
from tests.workbook.returned import sent, small_quote
from tests.workbook.typed import book_file, job_file


@pytest.fixture(scope="module")
def figures(tmp_path_factory: pytest.TempPathFactory) -> Figures:
    quote, problems = read_quote(sent(tmp_path_factory.mktemp("sent"), "117-1 quote.xlsx"))
    assert quote is not None and problems == []
    return quote_figures_of(quote)


def number(figures: Figures, tier: str | None, figure: str) -> Decimal | None:
    return figures[FigureName("117", tier, figure)].number


def test_amounts_are_those_of_the_quote(figures: Figures) -> None:
    for tier in small_quote().offered:
        assert number(figures, tier.code, "total") == tier.total
        assert number(figures, tier.code, "subtotal") == tier.subtotal
        assert number(figures, tier.code, "amounts.labour") == tier.amounts.labour
        assert number(figures, tier.code, "amounts.parts") == tier.amounts.parts
        for line in tier.part_lines:
            if line.amount:
                assert number(figures, tier.code, f"parts.{line.part}.amount") == line.amount
        for tax in tier.taxes:
            if tax.amount:
                assert number(figures, tier.code, f"taxes.{tax.tax}.amount") == tax.amount
    assert number(figures, None, "declined.total") == small_quote().declined.total


def test_options_and_how_long_they_hold(figures: Figures) -> None:
    assert figures[FigureName("117", "good", "offered")].text == "yes"
    assert figures[FigureName("117", None, "valid_until")].text == small_quote().valid_until.isoformat()


def test_each_finding_is_fixed_or_not(figures: Figures) -> None:
    answers = {one.text for name, one in figures.items() if name.tier is not None and one.number is None}
    assert {"Fixed", "Not fixed"} <= answers
    assert not any(name.figure[:1].isdigit() and ". " in name.figure for name in figures)


def test_a_formula_is_no_figure(figures: Figures) -> None:
    """Figures that follow a choice are not the quote's own: they show nothing until an option is chosen."""
    assert all(not (one.text or "").startswith("=") for one in figures.values())


def test_headings_and_dashes_are_no_figures(figures: Figures) -> None:
    assert not {one.text for one in figures.values()} & {"–", "Option 1", "If you decline", ""}


def test_what_a_file_is(tmp_path: Path) -> None:
    """By its content: the names say nothing."""
    (tmp_path / "a.xlsx").write_text('\ufeff  {"job": "117"}', encoding="utf-8")
    kinds = {
        "shop book": book_file(tmp_path, "one"),
        "job": job_file(tmp_path, "two"),
        "quote": sent(tmp_path, "three.xlsx"),
        "json": tmp_path / "a.xlsx",
    }
    assert {kind: kind_of_file(path)[0] for kind, path in kinds.items()} == {kind: kind for kind in kinds}


def test_a_file_that_is_none_of_them(tmp_path: Path) -> None:
    other = write_book(tmp_path / "other.xlsx", {"Prices": [["Part", "Price"]]})
    kind, problems = kind_of_file(other)
    assert (kind, [problem.code for problem in problems]) == (None, ["not-comparable"])
    (tmp_path / "text.xlsx").write_text("nothing", encoding="utf-8")
    kind, problems = kind_of_file(tmp_path / "text.xlsx")
    assert kind is None and problems


def test_a_sheet_named_inputs_alone_makes_no_costing(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.active.title = "Inputs"
    book.create_sheet("Summary")
    book.save(tmp_path / "mine.xlsx")
    assert kind_of_file(tmp_path / "mine.xlsx")[0] is None
