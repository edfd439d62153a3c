"""With `Show hours` off no hours are read on the visible sheet or the page; what the hidden sheet needs stays there."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import Sheet, placed
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from tests.conformity.written import JOBS
from tests.leaks.documents import customer_documents
from tests.leaks.test_other_costs_same_bytes import example

SPOKEN = re.compile(r"\b\d+(?:[.,]\d+)?\s?(?:h|hr|hrs|hours?)\b", re.IGNORECASE)


def priced(path: Path, *, shown: bool) -> Quote:
    """An example's quote without the customer's own words of hours."""
    book, job = example(path)
    return build_quote(*_without_own_words(book, job, shown))


def _without_own_words(book: ShopBook, job: Job, shown: bool) -> tuple[ShopBook, Job]:
    book = replace(book, settings=replace(book.settings, show_hours=shown))
    return book, replace(job, usage="", customers_words="It rattles")


def spoken_hours(sheet: Sheet) -> list[str]:
    """Cells that are hours or speak of a number of them."""
    cells = [cell for row in sheet.rows for _, cell in placed(row)]
    counted = [f"{cell.content}" for cell in cells if cell.kind == "hours"]
    return counted + [text for cell in cells if (text := str(cell.content)) and SPOKEN.search(text)]


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_no_hours_are_read_unless_the_shop_shows_them(path: Path) -> None:
    visible = lay_out_customer_quote(priced(path, shown=False)).sheets[0]
    assert not visible.hidden and spoken_hours(visible) == []


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_nor_on_the_page(path: Path) -> None:
    """Its script holds what the hidden sheet holds; what a person reads holds no hours."""
    page = customer_documents(priced(path, shown=False))["html"].decode()
    read = re.sub(r"<[^<>]*>", " ", re.sub(r"(?s)<(script|style)\b.*?</\1>", "", page))
    assert SPOKEN.findall(read) == []


def test_hours_that_are_shown_are_found() -> None:
    """So that an empty answer means something."""
    quote = priced(JOBS[1], shown=True)
    assert spoken_hours(lay_out_customer_quote(quote).sheets[0])
