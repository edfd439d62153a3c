"""A bill holds no cost, markup, supplier or margin: another shop with the same prices bills the same bytes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from quotekit.documents.bill import BillFacts, fill_bill
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.workbook.fill_template import fill_template
from quotekit.workbook.find_template import find_template
from tests.conformity.written import JOBS
from tests.leaks.same_prices import disguised, secrets_in
from tests.leaks.secrets_of import Secret, leaks
from tests.leaks.test_other_costs_same_bytes import HOW, charging_freight, example
from tests.pricing.bill.cases import bill, to_bill

DAY = date(2026, 11, 28)


def bill_bytes(book: ShopBook, job: Job) -> bytes:
    """The bill of the last option that is offered, with all its extras taken."""
    tier = build_quote(book, job).offered[-1]
    facts = to_bill(book, job, tier.code, tuple(one.extra for one in tier.extras))
    sheet = BillFacts(
        bill=bill(replace(facts, day=DAY)),
        number=1,
        day=DAY,
        version=1,
        settings=book.settings,
        job=job,
        accepted=facts.accepted,
        agreed_on=DAY,
    )
    template, _ = find_template("bill", [])
    assert template is not None
    data, problems = fill_template(template, [fill_bill(sheet)])
    assert data is not None and problems == []
    return data


@pytest.mark.parametrize(("number", "path"), list(enumerate(JOBS)), ids=lambda value: getattr(value, "stem", ""))
def test_examples_with_other_costs_bill_the_same_bytes(number: int, path: Path) -> None:
    """Where no freight is charged costs can be odd ones: none of them is found in the bill, however spelled."""
    book, job = example(path)
    how = HOW[number % 2]
    book = charging_freight(book, how)
    mine, other = bill_bytes(book, job), bill_bytes(*disguised(book, job))
    assert mine == other
    if how == "none":
        assert leaks(other, secrets_in(*disguised(book, job))) == []


def test_the_search_would_find_what_a_bill_says() -> None:
    """Else finding nothing would say nothing: the name of the shop and the customer are there."""
    book, job = example(JOBS[0])
    found = leaks(bill_bytes(book, job), [Secret("shop", book.settings.shop_name), Secret("customer", job.customer)])
    assert {leak.what for leak in found} == {"shop", "customer"}
