"""Random jobs: their JSON keeps the contract, their costing adds up to what the engine says, line by line."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any, cast

from hypothesis import given

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.write_sheet import workbook_bytes
from tests.cli.quote_contract import check_contract
from tests.documents.test_costing_of_the_engine import table, total
from tests.random_jobs import Case, a_random_case, cases, seeds


def priced_tiers(quote: Quote) -> list[PricedTier]:
    return [] if has_errors(quote.problems) else [tier for tier in quote.tiers if tier.priced]


@given(cases())
def test_the_json_keeps_the_contract(case: Case) -> None:
    book, job = (replace(record, sha256="a" * 64) for record in case)
    quote = build_quote(book, job)
    value = cast(dict[str, Any], lay_out_quote_json(quote))
    check_contract(value)
    for tier, laid_out in zip(priced_tiers(quote), [t for t in value["tiers"] if t["total"]], strict=True):
        assert sum(map(D, laid_out["amounts"].values())) == D(laid_out["subtotal"])
        assert D(laid_out["subtotal"]) + D(laid_out["tax"]) == D(laid_out["total"])
        assert laid_out["code"] == tier.code


@given(cases())
def test_every_line_of_the_costing_adds_up(case: Case) -> None:
    quote = build_quote(*case)
    value = lay_out_costing(quote)
    sheets = value.sheets[2 : 2 + len(quote.tiers)]
    for tier, sheet in zip(quote.tiers, sheets, strict=True):
        if tier not in priced_tiers(quote):
            continue
        lines = [row for row in table(sheet, "Price, cost and margin", "Subtotal") if row.get(0) != "Work"]
        assert total(lines, 4) == tier.subtotal
        if tier.cost.total is not None:
            assert total(lines, 5) == tier.cost.total
            assert total(lines, 6) == tier.margin
        assert total(table(sheet, "Opening and closing, each step once", "Together"), 2) == tier.hours.access
        assert total(table(sheet, "Net hours of the work itself", "Together"), 2) == tier.hours.net


@given(seeds())
def test_every_costing_can_be_written(seed: int) -> None:
    """No number has too many digits, no text is too long, no sheet name is refused."""
    assert workbook_bytes(lay_out_costing(build_quote(*a_random_case(seed)))).startswith(b"PK")
