"""Consent arithmetic against the repair laws of consent_laws.py: the last amount that needs no consent, one cent more.

Each edge is also put through the engine: a priced option is agreed to, then the job is priced again with a charge more.
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.model.agreed import Agreed
from quotekit.pricing.agreed import agreed_of, consent_rule
from quotekit.pricing.consent.need import need_of_consent
from quotekit.pricing.consent.threshold import threshold_of
from tests.build import a_tax, settings
from tests.outside_checks.consent_laws import LAWS, Law
from tests.outside_checks.small_shop import a_bill, only_tier
from tests.pricing.consent.made import an_accepted, an_agreed

CENT = Decimal("0.01")
EDGES = [pytest.param(law, *edge, id=f"{law.name}: {edge[0]}") for law in LAWS for edge in law.edges]


@pytest.mark.parametrize(("law", "agreed", "most"), EDGES)
def test_the_last_amount_that_needs_no_consent(law: Law, agreed: str, most: str) -> None:
    """The law's edge, on the amount it compares; the other amount is given tax that must not count."""
    rule = law.row.rule
    assert Decimal(agreed) + threshold_of(rule, Decimal(agreed), 2) == Decimal(most)
    for amount, needed in ((Decimal(most), False), (Decimal(most) + CENT, True)):
        if rule.compares == "before tax":
            before, now = an_agreed(agreed), an_agreed(str(amount), "99.00")
        else:
            before, now = an_agreed("0.00", agreed), an_agreed("0.00", str(amount))
        assert need_of_consent(an_accepted(before, rule), now, 2).needed is needed, law.source


@pytest.mark.parametrize("law", LAWS, ids=lambda law: law.name)
def test_every_row_says_where_it_is_from_and_when_it_was_read(law: Law) -> None:
    assert law.source and law.flag and law.read == "2026-11"


def priced(*charges: str, rate: str) -> Agreed:
    """A job of these charges, taxed at a rate, through the engine."""
    book, job = a_bill(charges, [a_tax(rate=rate)])
    return agreed_of(book, job, only_tier(book, job))


@pytest.mark.parametrize(("law", "agreed", "most"), [edge for edge in EDGES if edge.values[1] != "0.00"])
def test_the_edge_through_the_engine(law: Law, agreed: str, most: str) -> None:
    """Before tax the law's edge holds whatever the tax; with tax it is that of the total, here untaxed."""
    known = law.row.rule
    rate = "0.08" if known.compares == "before tax" else "0"
    shop = settings(
        call_when_over_percent=known.over_percent,
        call_when_over_amount=known.over_amount,
        call_when_over=known.over,
        call_compares=known.compares,
        call_when_over_at_most=known.at_most,
    )
    yes = an_accepted(priced(agreed, rate=rate), consent_rule(shop))
    more = Decimal(most) - Decimal(agreed)
    within = priced(agreed, *([str(more)] if more else []), rate=rate)
    above = priced(agreed, str(more + CENT), rate=rate)
    assert [need_of_consent(yes, now, 2).needed for now in (within, above)] == [False, True], law.source


def test_a_change_of_tax_alone_needs_consent_only_where_tax_is_compared() -> None:
    """16 CCR 2722 (READ): tax is outside the estimate, so a new rate of tax is no excess over it."""
    before, now = priced("200.00", rate="0.06"), priced("200.00", rate="0.07")
    answers = [
        need_of_consent(an_accepted(before, consent_rule(settings(call_compares=basis))), now, 2).needed
        for basis in ("before tax", "with tax")
    ]
    assert answers == [False, True]
