"""The example jobs with their shop books."""

from __future__ import annotations

from pathlib import Path

from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.random_jobs import Case

EXAMPLES = sorted(
    path for path in (Path(__file__).parents[2] / "examples").glob("*/*.xlsx") if path.name != "shop book.xlsx"
)


def an_example(path: Path) -> Case:
    """The book and the job of an example."""
    book = read_shop_book(path.parent / "shop book.xlsx")[0]
    assert book is not None
    job = read_job(path, book)[0]
    assert job is not None
    return book, job
