"""A tier that could not be worked out gives its reason and nothing that reads like a figure."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from decimal import Decimal
from typing import Any

from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from tests import build


def an_unworked_tier() -> PricedTier:
    """Years are compared and one way has no life; always work, a minimum and a one-off line must not show."""
    book = build.a_book(
        settings=build.settings(minimum_labour_hours=2, inspection_fee=30),
        operations=[build.an_operation("FIT", 1), build.an_operation("WASH", 1)],
        machines=[build.a_machine(always=["WASH"])],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"], life_years=4),
            build.a_remedy("USED", ["WORN"], ["FIT"], life_years=None),
        ],
        taxes=[build.a_tax()],
        tiers=[build.a_tier("good", aim="longest life")],
    )
    job = build.a_job(build.a_finding_on("WORN"), paid_so_far=10, one_off=[build.a_one_off(1, "charge", unit_price=7)])
    return build_quote(book, job).tiers[0]


def figures(value: Any) -> list[Decimal]:
    """Every amount of a record and the records in it."""
    if isinstance(value, Decimal):
        return [value]
    if is_dataclass(value):
        return [figure for field in fields(value) for figure in figures(getattr(value, field.name))]
    if isinstance(value, (tuple, list)):
        return [figure for entry in value for figure in figures(entry)]
    return []


def test_no_figure_is_left() -> None:
    """Not the minimum, not the inspection, not what was paid: none of it is a price of this option."""
    tier = an_unworked_tier()
    assert (tier.priced, tier.offered) == (False, False)
    assert set(figures(tier)) == {Decimal(0)}


def test_what_cannot_be_known_is_null() -> None:
    """A day or a margin of zero would read as one."""
    tier = an_unworked_tier()
    assert (tier.ready_days, tier.margin, tier.cost.total, tier.cost.labour) == (None, None, None, None)


def test_the_reason_and_what_is_left_stay() -> None:
    """The shop must see what to fill in."""
    tier = an_unworked_tier()
    assert "Used has no Life years" in (tier.reason or "")
    assert (tier.fixed, tier.left) == ((), ("WORN",))
