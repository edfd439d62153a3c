"""Cost over the years, and lives (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from quotekit.pricing.basis import Basis
from quotekit.pricing.life import horizon_of, lives_of, repeats
from quotekit.pricing.setup import set_up
from tests import build


@pytest.mark.parametrize(
    ("shop", "job", "could_last", "horizon"),
    [
        (5, None, None, 5),
        (5, 8, None, 8),
        (5, 2, None, 2),
        (5, None, "3.5", "3.5"),
        (5, 8, 6, 6),
        (5, None, 20, 5),
    ],
)
def test_the_years_compared(shop: int, job: int | None, could_last: str | int | None, horizon: str | int) -> None:
    """The job's, else the shop's, and never more than the machine could last: no repair outlives the machine."""
    book = build.a_book(settings=build.settings(years_to_compare=shop))
    basis = Basis(book=book, job=build.a_job(years_to_compare=job, years_it_could_last=could_last))
    assert horizon_of(basis) == Decimal(horizon)


@pytest.mark.parametrize(
    ("life", "horizon", "interest", "again"),
    [
        ("5", "5", "0", Fraction(0)),
        ("4.9", "5", "0", Fraction(100)),
        ("2", "5", "0", Fraction(200)),
        ("2", "4", "0", Fraction(100)),
        ("0.5", "2", "0", Fraction(300)),
        ("1", "3", "0.25", Fraction(80) + Fraction(64)),
        ("9", "5", "0.1", Fraction(0)),
        (None, "5", "0", Fraction(0)),
    ],
)
def test_work_done_again(life: str | None, horizon: str, interest: str, again: Fraction) -> None:
    """100 each time a life ends before the horizon, worth less the later it comes; not on the horizon itself."""
    years = None if life is None else Decimal(life)
    assert repeats(Decimal(100), years, Decimal(horizon), Decimal(interest)) == again


def the_tier(job: dict[str, Any] | None = None, life: str | None = "2", **values: Any) -> PricedTier:
    """One hour at 100 that lasts two years, compared over five."""
    book = build.a_book(
        **{
            "operations": [build.an_operation("FIT-BELT", 1)],
            "findings": [build.a_finding("FRAYED")],
            "remedies": [build.a_remedy("BELT", ["FRAYED"], ["FIT-BELT"], life_years=life)],
            "tiers": [build.a_tier("good")],
        }
        | values
    )
    return build_quote(book, build.a_job(build.a_finding_on("FRAYED"), **(job or {}))).tiers[0]


@pytest.mark.parametrize(
    ("life", "interest", "cost"),
    [
        ("2", "0", "300.00"),
        ("2", "0.1", "250.95"),  # 100 + 100 / 1.21 + 100 / 1.4641
        ("2.5", "0.1", "178.80"),  # 100 + 100 / 1.1 ** 2.5 = 100 + 100 / 1.269059
        ("5", "0.1", "100.00"),
    ],
)
def test_the_cost_over_the_years_is_rounded_once(life: str, interest: str, cost: str) -> None:
    """The work now and again; one rounding at the end."""
    tier = the_tier(life=life, settings=build.settings(interest_a_year=interest))
    assert str(tier.horizon_cost) == cost


def test_a_life_not_stated_lasts_the_horizon() -> None:
    """It is done once, and its life is printed as not stated."""
    tier = the_tier(life=None)
    assert (str(tier.horizon_cost), tier.lives) == ("100.00", {"FRAYED": None})


def test_work_again_is_at_full_price_with_the_shops_own_charges() -> None:
    """Now 50 after a discount, fee 7 of the job, one-off 20; again 100 with the fee 3 the operation brings, twice."""
    tier = the_tier(
        {
            "discount_percent": Decimal("0.5"),
            "discount_reason": "A friend",
            "fees": "TOWING",
            "one_off": [build.a_one_off(1, "charge", unit_price=20)],
        },
        fees=[build.a_fee("TOWING", 7), build.a_fee("WASTE", 3, applies_to=["FIT-BELT"])],
    )
    assert (str(tier.work), str(tier.horizon_cost)) == ("80.00", "286.00")


def test_work_again_brings_its_own_access_and_the_always_work() -> None:
    """Washing takes half an hour, the cover one: 250 now, and again twice."""
    tier = the_tier(
        operations=[build.an_operation("FIT-BELT", 1, access=["COVER"]), build.an_operation("WASH")],
        access=[build.a_step("COVER", "0.4", "0.6")],
        machines=[build.a_machine(always=["WASH"])],
    )
    assert (str(tier.work), str(tier.horizon_cost)) == ("250.00", "750.00")


@pytest.mark.parametrize(
    ("lives", "covered", "expected"),
    [
        (("2", "3"), ["ONE"], {"ONE": "3"}),
        (("3", "2"), ["ONE"], {"ONE": "3"}),
        (("9", "2"), ["ONE"], {"ONE": "5"}),
        ((None, "2"), ["ONE"], {"ONE": "5"}),
        (("2", "3"), ["ONE", "TWO"], {"ONE": "3", "TWO": "3"}),
        (("2", "3"), ["THREE"], {}),
    ],
)
def test_the_life_of_a_finding(
    lives: tuple[str | None, str | None], covered: list[str], expected: dict[str, str]
) -> None:
    """A fixes ONE, B fixes ONE and TWO: the longer counts, at most the horizon of 5; what is left has none."""
    book = build.a_book(
        operations=[build.an_operation("WORK")],
        findings=[build.a_finding(code) for code in ("ONE", "TWO", "THREE")],
        remedies=[
            build.a_remedy("A", ["ONE"], ["WORK"], life_years=lives[0]),
            build.a_remedy("B", ["ONE", "TWO"], ["WORK"], life_years=lives[1]),
        ],
    )
    found = [build.a_finding_on(code) for code in ("ONE", "TWO", "THREE")]
    items = set_up(book, build.a_job(*found)).candidates.items.values()
    assert lives_of(items, covered, Decimal(5)) == {key: Decimal(life) for key, life in expected.items()}
