"""Choosing a tier's remedies: the true optimum by its aim, and the ties (DESIGN.md 5.7)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import pytest

from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote, choose, covers
from tests import build
from tests.pricing.priced import keys_of

Ways = Mapping[str, tuple[str, str | None]]


def a_quote(aim: str, ways: Ways, findings: str = "WORN", **values: Any) -> Quote:
    """Remedies by name, each with hours and life, that all fix every finding."""
    codes = findings.split()
    book = build.a_book(
        **{
            "operations": [build.an_operation(f"DO-{code}", hours) for code, (hours, _) in ways.items()],
            "findings": [build.a_finding(code) for code in codes],
            "remedies": [
                build.a_remedy(code, codes, [f"DO-{code}"], life_years=life) for code, (_, life) in ways.items()
            ],
            "tiers": [build.a_tier("good", aim=aim)],
        }
        | values
    )
    return build_quote(book, build.a_job(*(build.a_finding_on(code) for code in codes)))


def first(quote: Quote) -> PricedTier:
    """The only tier."""
    return quote.tiers[0]


THREE = {"PATCH": ("1", "1"), "REPAIR": ("2", "3"), "NEW": ("7", "9")}
"""Over five years without interest: 5 x 100 = 500, 2 x 200 = 400, 1 x 700 = 700."""


@pytest.mark.parametrize(
    ("aim", "taken"), [("lowest price", "PATCH"), ("least to own", "REPAIR"), ("longest life", "NEW")]
)
def test_each_aim_takes_another_remedy(aim: str, taken: str) -> None:
    """The same fault, three answers; all three choices were compared."""
    tier = first(a_quote(aim, THREE))
    assert (keys_of(tier), tier.compared) == ([taken], 3)


def test_interest_makes_what_comes_later_cheaper() -> None:
    """At a half a year, PATCH costs 100 (1 + 0.667 + 0.444 + 0.296 + 0.198) = 260.49, REPAIR 200 (1 + 0.296) = 259.26.

    At one, 193.75 and 225: then the patch is least to own.
    """
    taken = [
        (keys_of(first(quote)), str(first(quote).horizon_cost))
        for quote in (
            a_quote("least to own", THREE, settings=build.settings(interest_a_year=rate)) for rate in ("0.5", "1")
        )
    ]
    assert taken == [(["REPAIR"], "259.26"), (["PATCH"], "193.75")]


def test_lives_beyond_the_horizon_count_no_more() -> None:
    """Five and nine years are equal over five: the cheaper one."""
    assert keys_of(first(a_quote("longest life", {"NEW": ("3", "9"), "USED": ("2", "5")}))) == ["USED"]


@pytest.mark.parametrize("aim", ["lowest price", "least to own", "longest life"])
def test_equal_choices_are_decided_by_codes_in_order(aim: str) -> None:
    """Nothing else tells them apart: the same book always gives the same quote."""
    assert keys_of(first(a_quote(aim, {"B": ("1", "5"), "A": ("1", "5")}))) == ["A"]


def test_equal_money_is_decided_by_fewer_operations() -> None:
    """A takes two operations of half an hour, B one of an hour."""
    quote = a_quote(
        "lowest price",
        {},
        operations=[build.an_operation("HALF"), build.an_operation("OTHER-HALF"), build.an_operation("WHOLE", 1)],
        remedies=[
            build.a_remedy("A", ["WORN"], ["HALF", "OTHER-HALF"]),
            build.a_remedy("B", ["WORN"], ["WHOLE"]),
        ],
    )
    assert keys_of(first(quote)) == ["B"]


def test_equal_cost_over_the_years_is_decided_by_less_work_now() -> None:
    """LATER costs 100 and once again 100, ONCE 200: equal over the years."""
    lives = {"LATER": ("1", "3"), "ONCE": ("2", "5")}
    assert keys_of(first(a_quote("least to own", lives))) == ["LATER"]


def test_shared_access_changes_which_set_is_cheapest() -> None:
    """Alone, OUTSIDE at 1.5 h beats INSIDE at 1 h + 1 h cover; with the belt the cover is open anyway."""
    book: dict[str, Any] = {
        "access": [build.a_step("COVER", "0.5", "0.5")],
        "operations": [
            build.an_operation("OUT", "1.5"),
            build.an_operation("IN", 1, access=["COVER"]),
            build.an_operation("FIT-BELT", 1, access=["COVER"]),
        ],
        "remedies": [
            build.a_remedy("INSIDE", ["WORN"], ["IN"]),
            build.a_remedy("OUTSIDE", ["WORN"], ["OUT"]),
            build.a_remedy("BELT", ["FRAYED"], ["FIT-BELT"]),
        ],
    }
    assert keys_of(first(a_quote("lowest price", {}, **book))) == ["OUTSIDE"]
    both = first(a_quote("lowest price", {}, "WORN FRAYED", **book))
    assert (keys_of(both), str(both.work)) == (["BELT", "INSIDE"], "300.00")


def test_rounding_up_and_the_minimum_are_part_of_the_choice() -> None:
    """Below two hours both cost 200: then B, whose code comes later, has no fewer hours that matter."""
    quote = a_quote(
        "lowest price", {"A": ("1.9", "5"), "B": ("1", "5")}, settings=build.settings(minimum_labour_hours=2)
    )
    assert (keys_of(first(quote)), str(first(quote).work)) == (["A"], "200.00")


@pytest.mark.parametrize("aim", ["least to own", "longest life"])
def test_a_life_not_stated_leaves_the_tier_out_with_the_reason(aim: str) -> None:
    """The choice hangs on REPAIR's life, which nobody wrote down."""
    tier = first(a_quote(aim, {"NEW": ("7", "9"), "REPAIR": ("2", None)}))
    assert (tier.offered, tier.priced) == (False, False)
    assert "Repair has no Life years" in (tier.reason or "")


@pytest.mark.parametrize("aim", ["least to own", "longest life"])
def test_a_life_not_stated_is_no_matter_where_there_is_no_choice(aim: str) -> None:
    """The only remedy is taken."""
    assert keys_of(first(a_quote(aim, {"REPAIR": ("2", None)}))) == ["REPAIR"]


def test_the_number_of_choices_is_the_product_of_the_groups() -> None:
    """Three ways for one fault and two for another: six are compared."""
    quote = a_quote(
        "lowest price",
        {},
        "WORN FRAYED",
        operations=[build.an_operation("DO")],
        remedies=[
            *(build.a_remedy(code, ["WORN"], ["DO"]) for code in "ABC"),
            *(build.a_remedy(code, ["FRAYED"], ["DO"]) for code in "DE"),
        ],
    )
    assert (first(quote).compared, keys_of(first(quote))) == (6, ["A", "D"])


@pytest.mark.parametrize("module", [covers, choose])
def test_too_many_choices_are_an_error_that_points_to_the_plan(module: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is chosen by a shortcut: the technician says what to take."""
    monkeypatch.setattr(module, "MOST_CHOICES", 2)
    quote = a_quote("lowest price", THREE)
    assert [(problem.code, problem.severity) for problem in quote.problems] == [("too-many-choices", "error")]
    assert quote.tiers == ()


def test_as_many_as_allowed_are_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """Three choices where three are the most."""
    monkeypatch.setattr(choose, "MOST_CHOICES", 3)
    assert keys_of(first(a_quote("lowest price", THREE))) == ["PATCH"]


def test_cost_over_the_years_is_compared_as_rounded() -> None:
    """LATER is 111.13 + 111.13 / 1.25 = 200.034, ONCE 200.03: equal to the cent, so the least work now."""
    quote = a_quote(
        "least to own",
        {"LATER": ("0", "1"), "ONCE": ("0", "5")},
        settings=build.settings(interest_a_year="0.25", years_to_compare=2),
        operations=[build.an_operation("DO-LATER", 0, parts="USED"), build.an_operation("DO-ONCE", 0, parts="NEW")],
        parts=[
            build.a_part("USED", 1, fixed_price_each="111.13"),
            build.a_part("NEW", 1, fixed_price_each="200.03"),
        ],
    )
    assert (keys_of(first(quote)), str(first(quote).horizon_cost)) == (["LATER"], "200.03")
