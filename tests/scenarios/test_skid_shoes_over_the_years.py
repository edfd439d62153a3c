"""Worn skid shoes and three ways to put them right: cheap, steel and plastic, for one, three and six years.

Shop: 100.00 an hour, half an hour each time, parts at fixed prices, no tax.

           part    + 50.00 labour   life     over five years without interest
cheap      20.00           70.00    1 year   now and in years 1, 2, 3, 4:  5 x 70.00 = 350.00
steel      60.00          110.00    3 years  now and in year 3:            2 x 110.00 = 220.00
plastic   190.00          240.00    6 years  now                                     = 240.00

Lowest price takes cheap, least to own steel, longest life plastic.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.priced import keys_of, texts


def quoted(interest: str = "0", **job: Any) -> Quote:
    """The three options every shop has unless it says otherwise."""
    kinds = [("CHEAP", 20, 1), ("STEEL", 60, 3), ("PLASTIC", 190, 6)]
    book = build.a_book(
        settings=build.settings(years_to_compare=5, interest_a_year=interest),
        operations=[build.an_operation("FIT-SHOES", "0.5")],
        parts=[build.a_part(f"{code}-SHOES", 10, fixed_price_each=price) for code, price, _ in kinds],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy(code, ["WORN"], ["FIT-SHOES"], parts=f"{code}-SHOES", life_years=years)
            for code, _, years in kinds
        ],
    )
    return build_quote(book, build.a_job(build.a_finding_on("WORN"), **job))


def test_each_option_by_its_own_aim() -> None:
    """All three are offered: each dearer one lasts longer."""
    quote = quoted()
    assert [(tier.code, tier.offered, *keys_of(tier)) for tier in quote.tiers] == [
        ("good", True, "CHEAP"),
        ("better", True, "STEEL"),
        ("best", True, "PLASTIC"),
    ]
    assert texts(*(tier.work for tier in quote.tiers)) == ["70.00", "110.00", "240.00"]
    assert texts(*(tier.horizon_cost for tier in quote.tiers)) == ["350.00", "220.00", "240.00"]


def test_money_spent_later_weighs_less() -> None:
    """At 20 % a year: 70.00 x (1 + 1/1.2 + 1/1.44 + 1/1.728 + 1/2.0736) = 70.00 x 3.588735 = 251.21.

    Steel again in year 3: 110.00 + 110.00 / 1.728 = 173.66. Plastic is all paid now.
    """
    assert texts(*(tier.horizon_cost for tier in quoted("0.2").tiers)) == ["251.21", "173.66", "240.00"]


@pytest.mark.parametrize(
    ("years", "offered"),
    [
        (None, ["CHEAP", "STEEL", "PLASTIC"]),
        (3, ["CHEAP", "STEEL"]),  # steel lasts as long as the machine: plastic is money for nothing
        (1, ["CHEAP"]),  # the machine is gone before the cheap shoes are
    ],
)
def test_nothing_is_sold_that_outlives_the_machine(years: int | None, offered: list[str]) -> None:
    """Lives count up to the years the machine could last; the same choice twice is one option."""
    quote = quoted(years_it_could_last=years)
    assert [key for tier in quote.offered for key in keys_of(tier)] == offered


def test_a_life_that_ends_with_the_years_compared_is_not_bought_again() -> None:
    """Three years: steel 110.00 once, cheap in years 1 and 2 too: 3 x 70.00."""
    good, better, _ = quoted(years_to_compare=3).tiers
    assert texts(good.horizon_cost, better.horizon_cost) == ["210.00", "110.00"]
