"""The quote as a record."""

from __future__ import annotations

from quotekit.pricing import build_quote
from tests import build


def test_the_customer_sees_only_offered_tiers() -> None:
    """Nothing is wrong, so no tier is offered; all three are there for the shop."""
    quote = build_quote(build.a_book(), build.a_job())
    assert [tier.code for tier in quote.tiers] == ["good", "better", "best"]
    assert quote.offered == ()


def test_an_offered_tier_is_among_those_the_customer_sees() -> None:
    book = build.a_book(
        operations=[build.an_operation("FIT")],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"])],
    )
    quote = build_quote(book, build.a_job(build.a_finding_on("WORN")))
    assert [tier.code for tier in quote.offered] == ["good"]
