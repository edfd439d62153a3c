"""Every figure of a quote's JSON by name, and no more than the figures."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.documents.compare_figures import figure, figures_of, number_of
from quotekit.documents.quote_json import lay_out_quote_json
from quotekit.model.comparison import FigureName
from quotekit.pricing import build_quote
from tests.build import a_book, a_finding, a_job, a_part, a_remedy, a_tax, an_extra, an_operation, found


def names(quote: dict[str, object]) -> dict[str, str | None]:
    return {f"{name.tier or '-'}/{name.figure}": one.text for name, one in figures_of(quote).items()}


def tier(**values: object) -> dict[str, object]:
    return {"job": "117", "tiers": [{"code": "good", **values}]}


@pytest.mark.parametrize(
    ("quote", "expected"),
    [
        (tier(total="5.70"), {"good/total": "5.70"}),
        (tier(hours={"net": "1", "billed": {"MAIN": "2.5"}}), {"good/hours.net": "1", "good/hours.billed.MAIN": "2.5"}),
        (tier(parts=[{"part": "SEAL", "packs": 1, "amount": "5.70"}]),
         {"good/parts.SEAL.packs": "1", "good/parts.SEAL.amount": "5.70"}),
        (tier(items=["A", "B@left"], left=[]), {"good/items": "A; B@left", "good/left": ""}),
        (tier(offered=False, reason="it is the same"), {"good/offered": "no", "good/reason": "it is the same"}),
        (tier(ready_days=None), {"good/ready_days": None}),
        (tier(extras=[{"extra": "BELT", "price": "1.00"}, {"extra": "BELT", "price": "2.00"}]),
         {"good/extras.BELT.price": "1.00", "good/extras.BELT.price#2": "2.00"}),
        (tier(compared=4, proof={"method": "plan"}, why={"remedies": []}), {}),
        ({"job": "117", "declined": {"total": "45.00"}}, {"-/declined.total": "45.00"}),
        ({"job": "117", "version": 2, "book_sha256": "ab", "files": ["a"], "problems": [{"place": "b"}]}, {}),
        ({"job": "117", "not_permitted": [{"remedy": "CAP", "side": "left", "why": "too worn"}]},
         {"-/not_permitted.CAP@left.why": "too worn"}),
        ({"job": "117", "only_with": [{"remedy": "CAP", "side": None, "with": ["A", "B"]}]},
         {"-/only_with.CAP.with": "A; B"}),
        ({"job": "117"}, {}),
    ],
)  # fmt: skip
def test_names_of_figures(quote: dict[str, object], expected: dict[str, str | None]) -> None:
    assert names(quote) == expected


@pytest.mark.parametrize(
    ("value", "text", "number"),
    [("2.60", "2.60", "2.60"), (3, "3", "3"), ("2026-11-10", "2026-11-10", None), (True, "yes", None),
     (None, None, None), (["5"], "5", None), ("NaN", "NaN", None), ("", "", None)],
)  # fmt: skip
def test_a_single_value(value: object, text: str | None, number: str | None) -> None:
    """A list of one code that looks like a number is no number."""
    one = figure(value)
    assert (one.text, one.number) == (text, None if number is None else Decimal(number))


def test_infinity_is_no_number() -> None:
    assert number_of("Infinity") is None


def test_a_whole_quote_has_each_figure_once() -> None:
    """Each tier's total and parts, and what a no costs; an amount is never lost to another of its name."""
    book = a_book(
        operations=[an_operation("FIT", parts="SEAL"), an_operation("BELTING")],
        parts=[a_part("SEAL")],
        findings=[a_finding("WORN")],
        remedies=[a_remedy("R", ["WORN"], ["FIT"])],
        extras=[an_extra("BELT", ["BELTING"])],
        taxes=[a_tax("State", charges=["parts"])],
    )
    quote = build_quote(book, a_job(found(book, "WORN")))
    laid_out = lay_out_quote_json(quote)
    known = figures_of(laid_out)
    job = quote.job.job_number
    for each in quote.tiers:
        assert known[FigureName(job, each.code, "total")].number == each.total
        assert known[FigureName(job, each.code, "parts.SEAL.amount")].number == each.part_lines[0].amount
        assert known[FigureName(job, each.code, "taxes.State.base")].number == each.taxes[0].base
    assert known[FigureName(job, None, "declined.total")].number == quote.declined.total
    assert len({name.tier for name in known}) == 1 + len(quote.tiers)
