"""A shop with other costs, markups and suppliers but the same prices writes the same bytes for its customer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest
from hypothesis import given, settings

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.sheet import WorkbookValue
from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.photos import read_photos
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.written import JOBS
from tests.leaks.documents import customer_documents
from tests.leaks.same_prices import disguised
from tests.random_jobs import Case, a_random_case, cases

Two = tuple[Quote, Quote]


def example(path: Path) -> tuple[ShopBook, Job]:
    """An example's records."""
    book = read_shop_book(path.parent / "shop book.xlsx")[0]
    assert book is not None
    job = read_job(path, book)[0]
    assert job is not None
    return book, job


def both(book: ShopBook, job: Job) -> Two:
    """The quote of a shop and of another with the same prices."""
    return build_quote(book, job), build_quote(*disguised(book, job))


def charging_freight(book: ShopBook, how: Literal["none", "this job alone"]) -> ShopBook:
    """The book with freight charged or not."""
    return replace(book, settings=replace(book.settings, freight_to_customer=how))


HOW: tuple[Literal["none", "this job alone"], ...] = ("none", "this job alone")


@pytest.mark.parametrize(("number", "path"), list(enumerate(JOBS)), ids=lambda value: getattr(value, "stem", ""))
def test_examples_with_other_costs_give_the_same_bytes(number: int, path: Path) -> None:
    """With freight charged and not, one example after the other; random jobs have both as well."""
    how = HOW[number % 2]
    book, job = example(path)
    book = charging_freight(book, how)
    photos, _ = read_photos(job, path.parent)
    mine, other = both(book, job)
    assert mine.offered and told_apart(mine, other)
    assert customer_documents(mine, photos) == customer_documents(other, photos)


@settings(max_examples=20)
@given(cases())
def test_random_jobs_with_other_costs_give_the_same_bytes(case: Case) -> None:
    mine, other = both(*case)
    if has_errors(mine.problems) or not mine.offered:
        return
    assert customer_documents(mine) == customer_documents(other)


def test_enough_random_jobs_are_compared() -> None:
    """Most of them are offered, with freight charged and not, and the shop's own costing tells them apart."""
    compared = {"none": 0, "this job alone": 0}
    for seed in range(40):
        book, job = a_random_case(seed)
        mine, other = both(book, job)
        if not has_errors(mine.problems) and mine.offered:
            assert told_apart(mine, other)
            compared[book.settings.freight_to_customer] += 1
    assert min(compared.values()) > 5, compared


def told_apart(mine: Quote, other: Quote) -> bool:
    """The two shops differ in what they pay, and in nothing they ask for."""
    same = [(tier.total, tier.due, tier.deposit) for tier in mine.tiers] == [
        (tier.total, tier.due, tier.deposit) for tier in other.tiers
    ]
    costings = [workbook_bytes(lay_out_costing(quote)) for quote in (mine, other)]
    return same and costings[0] != costings[1]


LEAKY: dict[str, Callable[[WorkbookValue, Quote], WorkbookValue]] = {
    "the book's fingerprint": lambda value, quote: titled(value, quote.book.sha256),
    "the name of the job's file": lambda value, quote: titled(value, quote.job.file),
    "a cost in the properties": lambda value, quote: titled(value, str(quote.tiers[0].part_lines[0].pack_cost)),
    "whether the margin is good": lambda value, quote: titled(value, str((quote.tiers[0].margin or 0) > 0)),
    "suppliers in their order": lambda value, quote: titled(
        value, " ".join(line.part for line in sorted(quote.tiers[0].part_lines, key=lambda line: line.supplier))
    ),
    "how many digits a cost has": lambda value, quote: titled(value, str(len(str(quote.tiers[0].cash_for_parts)))),
}


def titled(value: WorkbookValue, title: str) -> WorkbookValue:
    return replace(value, properties=replace(value.properties, title=title))


@pytest.mark.parametrize("leak", LEAKY.values(), ids=LEAKY)
def test_a_leaky_writer_gives_other_bytes(leak: Callable[[WorkbookValue, Quote], WorkbookValue]) -> None:
    """Even where the leak is one bit, or an order, that no search for words or numbers could find."""
    book, job = example(JOBS[1])
    mine, other = both(charging_freight(book, "none"), job)
    clean = [workbook_bytes(titled(lay_out_customer_quote(quote), "")) for quote in (mine, other)]
    leaky = [workbook_bytes(leak(lay_out_customer_quote(quote), quote)) for quote in (mine, other)]
    assert clean[0] == clean[1] and leaky[0] != leaky[1]
