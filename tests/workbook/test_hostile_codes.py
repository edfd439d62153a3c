"""Extras of any code get a name that every spreadsheet takes, and a tick in its cell adds that extra alone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import write_customer_quote
from tests import build
from tests.conformity.lint import faults
from tests.many_extras import job_with_extras
from tests.recalculation.office import Office

CODES = (
    "A-1", "A.1", "A 1", "A_1", "A1", "R1C1", "C", "R", "TRUE", "1", "1E5", "-1", "=1+1", "'x", "x'y", 'x"y', "a&b",
    "<b>", "A;B", "#REF!", "extra_A_1", "A_1_2", "total_to_pay", "É", "é", "日本", "\u05d0\u05d1", "x" * 200,
    "x" * 199 + "y", "x" * 199 + "Y", "*", "?", "~*", "a\\b", "a/b", "[1]", "{1}", "\U0001f527", "ﬁ", "ß", "ss",
    "_", ".", "..", "µ", "μ",
)  # fmt: skip
"""Codes that are no names, names that are taken, and codes that are alike but for marks or case."""


def job_with_codes(codes: tuple[str, ...]) -> tuple[ShopBook, Job]:
    """A job with an extra for each code."""
    book, job = job_with_extras(len(codes))
    extras = [
        replace(extra, code=code, extra=f"Extra {n}")
        for n, (extra, code) in enumerate(zip(book.extras.values(), codes, strict=True), start=1)
    ]
    book = replace(book, extras=build.by_code(extras), bundles={})
    return book, replace(job, extras=tuple(build.a_job_extra(code) for code in codes))


@pytest.fixture(scope="module")
def quote() -> Quote:
    return build_quote(*job_with_codes(CODES))


def test_every_name_is_one_a_spreadsheet_takes(quote: Quote, tmp_path: Path) -> None:
    """And no two are alike but for case."""
    assert quote.live is not None, quote.not_live
    names = [extra.defined_name for extra in quote.live.extras]
    assert len(names) > len(CODES) and len({name.casefold() for name in names}) == len(names)
    assert all(len(name) <= 255 for name in names)
    path = tmp_path / "quote.xlsx"
    write_customer_quote(quote, path)
    assert faults(path.read_bytes()) == []


def test_a_tick_adds_the_extra_of_its_own_cell(quote: Quote, tmp_path: Path, office: Office) -> None:
    """In LibreOffice: each ticked by itself brings the total the engine gives for it."""
    live = quote.live
    assert live is not None
    path = tmp_path / "quote.xlsx"
    write_customer_quote(quote, path)
    totals = {extra.extra: extra.total for extra in quote.offered[0].extras}
    offered = [extra for extra in live.extras if extra.key in totals]
    assert len(offered) >= len(CODES)
    nothing = {extra.defined_name: "No" for extra in live.extras}
    fillings = [{"chosen_tier": "good", **nothing, extra.defined_name: "Yes"} for extra in offered]
    with office.opened(path) as opened:
        assert {extra.defined_name for extra in offered} <= opened.names
        shown = [row[0] for row in opened.tried(fillings, ["total_to_pay"])]
        (without,) = opened.tried([{"chosen_tier": "good", **nothing}], ["total_to_pay"])[0]
    assert without == float(quote.offered[0].total)
    assert shown == [float(totals[extra.key]) for extra in offered]
