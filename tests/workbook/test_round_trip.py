"""Reading back what is written gives the same values: random books and jobs typed into workbooks and read again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import MachineClass, ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from tests.random_jobs import a_random_case
from tests.workbook.records_as_workbooks import write_book, write_job

SEEDS = range(60)


@pytest.fixture(scope="module")
def cases(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[ShopBook, Job, ShopBook, Job]]:
    """Book and job as made, and as read; combinations a reader must refuse are left out."""
    folder = tmp_path_factory.mktemp("round_trip")
    found = []
    for seed in SEEDS:
        book, job = _with_all_classes(*a_random_case(seed))
        read = _through_workbooks(book, job, folder)
        if read is not None:
            found.append((book, job, *read))
    return found


def test_most_random_jobs_read_without_errors(cases: list[tuple[ShopBook, Job, ShopBook, Job]]) -> None:
    """The rest hold what a reader refuses, such as a fault without a side that only sided work fixes."""
    assert len(cases) >= 12


def test_every_record_reads_back(cases: list[tuple[ShopBook, Job, ShopBook, Job]]) -> None:
    """Parts, operations, access, remedies and taxes are the same but for where they came from."""
    for book, _, again, _ in cases:
        for name in ("operations", "access", "parts", "remedies", "extras", "bundles"):
            for code, record in getattr(book, name).items():
                assert replace(getattr(again, name)[code], source=record.source) == record
        assert [(row.tax, row.rate) for row in again.taxes] == [(row.tax, row.rate) for row in book.taxes]


def test_the_quote_is_the_same_to_the_cent(cases: list[tuple[ShopBook, Job, ShopBook, Job]]) -> None:
    """What was typed and read again is priced like the records themselves."""
    for book, job, book_again, job_again in cases:
        assert _figures(build_quote(book_again, job_again)) == _figures(build_quote(book, job))


def _figures(quote: Quote) -> list[object]:
    tiers = [
        (tier.code, tier.offered, tier.total, tier.due, tier.deposit, tier.ready_days, tier.margin, tier.shares)
        for tier in quote.tiers
    ]
    offers = [[(extra.extra, extra.price, extra.at_most, extra.total) for extra in tier.extras] for tier in quote.tiers]
    return [tiers, offers, quote.not_permitted, quote.only_with, quote.measure_next, quote.look_next, quote.declined]


def _with_all_classes(book: ShopBook, job: Job) -> tuple[ShopBook, Job]:
    """The random rows speak of two classes; both are on the Machines sheet."""
    if book.machines is None:
        return book, job
    more = {
        code: MachineClass(code=code, machine_class=code.title(), positions=job.positions)
        for code in ("THROWER", "TRAILER")
        if code not in book.machines
    }
    return replace(book, machines={**book.machines, **more}), job


def _through_workbooks(book: ShopBook, job: Job, folder: Path) -> tuple[ShopBook, Job] | None:
    write_book(book, folder / "book.xlsx")
    write_job(job, folder / "job.xlsx")
    read_book, problems = read_shop_book(folder / "book.xlsx")
    if read_book is None or has_errors(problems):
        return None
    read, job_problems = read_job(folder / "job.xlsx", read_book)
    return None if read is None or has_errors(job_problems) else (read_book, read)
