"""Pages to open: of the worked example, of random jobs, and of quotes made by hand."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from quotekit.documents.page_layout import lay_out_page
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book

CHECK = "4f1c09ab77de" + "0" * 52
EXAMPLE = Path(__file__).parents[2] / "examples" / "worked example"


@cache
def example(start: str = "2611-01") -> tuple[ShopBook, Job, Quote]:
    """The book, the job and the quote of a job of the worked example, by the start of its name."""
    book = read_shop_book(EXAMPLE / "shop book.xlsx")[0]
    assert book is not None
    (path,) = EXAMPLE.glob(f"{start} *.xlsx")
    job = read_job(path, book)[0]
    assert job is not None
    return book, job, build_quote(book, job)


def write_page_of(quote: Quote, folder: Path, check: str = CHECK) -> Path:
    """The quote's page as a file."""
    path = folder / "quote.html"
    path.write_bytes(lay_out_page(quote, check).encode("utf-8"))
    return path
