"""Figures that hold nothing say why: empty lists, and a tier that could not be worked out."""

from __future__ import annotations

from dataclasses import replace

import pytest

from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from quotekit.pricing.explain.nothing import compared, empty_lists, not_worked_out
from tests import build
from tests.pricing.explain.cases import json_figures
from tests.pricing.explain.small import a_shop, job_of


def a_full_tier() -> PricedTier:
    """A tier with a part, a bundle, a tax, shares and an extra."""
    book = a_shop(
        operations=[build.an_operation("FIT", "0.5", parts="SEAL"), build.an_operation("WIPE", "0.4")],
        access=[],
        extras=[build.an_extra("CLEAN", ["WIPE"])],
        bundles=[build.a_bundle("ONE", ["NEW"], "labour amount off", 1)],
        taxes=[build.a_tax()],
    )
    return build_quote(book, job_of(book, extras=[build.a_job_extra("CLEAN")])).tiers[0]


@pytest.mark.parametrize(
    ("name", "field", "why"),
    [
        ("parts", "part_lines", "uses no part"),
        ("bundles", "bundles", "No bundle in force has all its members"),
        ("taxes", "taxes", "No tax in force has anything it is on"),
        ("shares", "shares", "no item to share the work"),
        ("extras", "extras", "Nothing is offered beside this tier"),
    ],
)
def test_an_empty_list_says_what_that_means(name: str, field: str, why: str) -> None:
    """And one that holds something is no figure by itself: its entries are."""
    tier = a_full_tier()
    assert empty_lists(tier) == {}
    emptied = empty_lists(replace(tier, **{field: ()}))  # type: ignore[arg-type]
    assert emptied.keys() == {name}
    node = emptied[name]()
    assert (node.figure, node.value, node.number, node.inputs) == (name, (), None, ())
    assert why in node.rule


def not_worked() -> Quote:
    """The one tier would have to choose by a life that is not stated."""
    book = a_shop(
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("ODD", ["WORN"], ["FIT"], parts="SEAL", life_years=None),
        ],
        tiers=[build.a_tier("good", aim="longest life")],
    )
    return build_quote(book, job_of(book))


def test_a_tier_that_was_not_worked_out_says_its_reason_for_each_figure() -> None:
    """Every figure is one of the JSON, where it is null; and each null of the JSON that is a figure is among them."""
    quote = not_worked()
    (tier,) = quote.tiers
    assert not tier.priced and tier.reason
    figures, in_json = not_worked_out(tier), json_figures(quote, tier)
    assert figures.keys() <= in_json.keys()
    for name in figures.keys() - {"compared"}:
        node = figures[name]()
        assert (node.figure, node.value, node.number, in_json[name]) == (name, None, None, None)
        assert node.rule == f"This tier could not be worked out: {tier.reason} (rules 5.7)."
    told = {tree.figure for tree in explain_priced(quote, tier)}
    assert {name for name, value in in_json.items() if value is None and name.partition(".")[0] in GROUPS} <= told


GROUPS = {
    "total",
    "tax",
    "work",
    "hours",
    "amounts",
    "cost",
    "margin",
    "due",
    "over_years",
    "repair_or_replace",
    "proof",
}


@pytest.mark.parametrize("count", [1, 4096])
def test_compared_is_a_number_of_choices(count: int) -> None:
    node = compared(replace(a_full_tier(), compared=count))
    assert (node.figure, node.value, node.number) == ("compared", count, count)
    assert "How many choices of remedies there were" in node.rule
