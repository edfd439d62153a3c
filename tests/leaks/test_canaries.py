"""Odd costs, markups, suppliers and what follows from them are searched for in every document a customer gets."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings

from quotekit.documents import customer_quote
from quotekit.documents.costing import lay_out_costing
from quotekit.documents.customer_facts import contact_words
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.model.job import Job
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.photos import read_photos
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.written import JOBS
from tests.leaks.documents import customer_documents, pdf_and_its_text
from tests.leaks.same_prices import disguised, secrets_in
from tests.leaks.secrets_of import Secret, leaks
from tests.leaks.test_other_costs_same_bytes import charging_freight, example
from tests.random_jobs import Case, cases

LEAST = Decimal(20_000)
"""A sum below this has too few digits to be told from a price or a width."""


def sums_of(quote: Quote) -> Iterator[Secret]:
    """What follows from the canaries: costs of a tier, its margin, what must be paid for parts, costs of a line.

    A tier that costs the shop nothing has no canary in it: its margin is its price.
    """
    for tier in (tier for tier in quote.tiers if tier.cost.total is None or tier.cost.total >= LEAST):
        for what, value in (*_of_tier(tier), *_of_lines(tier)):
            if value is not None and abs(value) >= LEAST:
                yield Secret(f"{what} of {tier.code}", value)


def _of_tier(tier: PricedTier) -> Iterable[tuple[str, Decimal | None]]:
    cost = tier.cost
    yield from (("labour cost", cost.labour), ("parts cost", cost.parts_used), ("sublet cost", cost.sublet))
    yield from (("cost", cost.total), ("margin", tier.margin), ("cash for parts", tier.cash_for_parts))
    if tier.margin is not None and tier.subtotal:
        yield "margin in thousandths of a percent", (tier.margin / tier.subtotal * 100_000).quantize(Decimal("0.01"))


def _of_lines(tier: PricedTier) -> Iterable[tuple[str, Decimal | None]]:
    for line in tier.part_lines:
        yield from (("cost of a line", line.cost), ("pack cost", line.pack_cost), ("unit cost", line.unit_cost))


def marked_up_from_canaries(book: ShopBook, job: Job) -> tuple[ShopBook, Job]:
    """Prices that follow from the canary costs by the canary markup, instead of fixed ones."""
    book, job = disguised(charging_freight(book, "none"), job)
    free = {code: replace(part, fixed_price_each=None) for code, part in book.parts.items()}
    return replace(book, parts=free), job


def found_in(book: ShopBook, job: Job, quote: Quote | None = None, *, names: bool = False) -> dict[str, object]:
    """Leaks by document; with `names`, only names and supplier's numbers are looked for."""
    quote = quote or build_quote(book, job)
    secrets = [*dict.fromkeys([*secrets_in(book, job), *sums_of(quote)])]
    if names:
        secrets = [secret for secret in secrets if isinstance(secret.value, str)]
    assert len(secrets) > 5
    return {name: found for name, data in customer_documents(quote).items() if (found := leaks(data, secrets))}


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_examples_with_fixed_prices_hold_no_canary(path: Path) -> None:
    """The prices are those of the example, the costs behind them all canaries."""
    book, job = example(path)
    assert found_in(*disguised(charging_freight(book, "none"), job)) == {}


@pytest.mark.parametrize("path", JOBS, ids=lambda path: path.stem)
def test_examples_priced_from_canaries_hold_none(path: Path) -> None:
    """Cost and markup are canaries, and only what they come to together may be read."""
    assert found_in(*marked_up_from_canaries(*example(path))) == {}


@settings(max_examples=12)
@given(cases())
def test_random_jobs_hold_no_canary(case: Case) -> None:
    """A dozen of them; `python -m tests.leaks.report` looks through hundreds."""
    book, job = disguised(charging_freight(case[0], "none"), case[1])
    quote = build_quote(book, job)
    if quote.offered and not has_errors(quote.problems):
        assert found_in(book, job, quote) == {}


@pytest.mark.parametrize("path", JOBS[::3], ids=lambda path: path.stem)
def test_suppliers_stay_unnamed_where_freight_is_charged(path: Path) -> None:
    """The customer pays freight by supplier, and may not read from whom the parts come."""
    assert (
        found_in(*disguised(charging_freight(example(path)[0], "this job alone"), example(path)[1]), names=True) == {}
    )


def test_the_pdf_holds_no_canary(soffice: str, pdftotext: str) -> None:
    """Neither its text nor its bytes; the text is there, as the customer's name shows."""
    book, job = example(JOBS[1])
    book, job = disguised(charging_freight(book, "none"), job)
    quote = build_quote(book, job)
    photos, _ = read_photos(job, JOBS[1].parent)
    data, said = pdf_and_its_text(quote, pdftotext, photos)
    assert job.customer in said and book.settings.shop_name in said
    secrets = [*secrets_in(book, job), *sums_of(quote)]
    assert leaks(data, secrets) == [] and leaks(said.encode(), secrets) == []


def test_the_canaries_are_found_in_what_the_shop_keeps() -> None:
    """The costing holds them all: suppliers, numbers, costs, markup and margin."""
    book, job = disguised(charging_freight(example(JOBS[1])[0], "none"), example(JOBS[1])[1])
    quote = build_quote(book, job)
    found = {
        leak.what for leak in leaks(workbook_bytes(lay_out_costing(quote)), [*secrets_in(book, job), *sums_of(quote)])
    }
    for word in ("cost of", "number of", "name of", "markup", "labour cost of", "margin of", "cash for parts"):
        assert any(what.startswith(word) for what in found), (word, sorted(found))


SAID: dict[str, Callable[[Quote], object]] = {
    "a pack's cost": lambda quote: quote.tiers[0].part_lines[0].pack_cost,
    "a cost in cents": lambda quote: int((quote.tiers[0].part_lines[0].pack_cost or 0) * 100),
    "a supplier": lambda quote: quote.tiers[0].part_lines[0].supplier,
    "a supplier's number": lambda quote: quote.tiers[0].part_lines[0].suppliers_number,
    "the margin": lambda quote: quote.tiers[0].margin,
    "what all parts cost": lambda quote: f"{quote.tiers[0].cost.parts_used:,}",
    "the cost of labour": lambda quote: quote.book.labour_rates[0].cost_per_hour,
    "the markup": lambda quote: f"{quote.book.markup[0].markup:.4%}",
}


@pytest.mark.parametrize("said", SAID.values(), ids=SAID)
def test_a_writer_that_says_one_is_caught(said: Callable[[Quote], object], monkeypatch: pytest.MonkeyPatch) -> None:
    """The customer's own layout, with one word too many under the shop's name."""
    monkeypatch.setattr(customer_quote, "contact_words", lambda quote: (*contact_words(quote), str(said(quote))))
    book, job = example(JOBS[1])
    book, job = disguised(charging_freight(book, "none"), job)
    quote = build_quote(book, job)
    assert leaks(workbook_bytes(lay_out_customer_quote(quote)), [*secrets_in(book, job), *sums_of(quote)])
