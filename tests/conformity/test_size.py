"""A live quote grows in a straight line with its extras: no table of all combinations, and forty extras work."""

from __future__ import annotations

from functools import cache

from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests.conformity.package_parts import formulas_of
from tests.many_extras import job_with_extras


@cache
def written(extras: int) -> bytes:
    quote = build_quote(*job_with_extras(extras))
    assert quote.live is not None, quote.not_live
    return workbook_bytes(lay_out_customer_quote(quote))


def test_each_further_extra_adds_as_many_bytes() -> None:
    """The second twenty cost no more than the first, with room for packing that does well or badly."""
    first, second = len(written(20)) - len(written(1)), len(written(40)) - len(written(20))
    assert second / 20 < 1.5 * first / 19
    assert len(written(40)) < 40_000


def test_each_further_extra_adds_as_many_formulas() -> None:
    first, second = (
        formulas_of(written(20)) - formulas_of(written(1)),
        formulas_of(written(40)) - formulas_of(written(20)),
    )
    assert second / 20 < 1.2 * first / 19
    assert formulas_of(written(40)) < 40 * 20
