"""What a tier comes to over the years, and what the order of the tiers hangs on, as JSON."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal as D
from fractions import Fraction
from typing import Any

import pytest

from quotekit.documents.years_json import over_years_json, sensitivity_json
from quotekit.model.quote import PricedTier, Quote
from quotekit.model.years import CostOverYears, OrderChange, OrderRange, OtherChoice, Repeat, Sensitivity
from quotekit.pricing import build_quote
from tests.pricing.explain.small import a_shop, job_of

AGAIN = Repeat(item="NEW@left", years=(D("2.50"), D(5)), each=D(100), worth=Fraction(501, 3), together=D("167"))
YEARS = CostOverYears(
    horizon=D("6.0"),
    interest=D("0.08"),
    cost=D("267"),
    equivalent_a_year=D("57.8"),
    by_year=(D(100), D("185.5"), D(267)),
    repeats=(AGAIN,),
)


def a_tier(years: CostOverYears | None) -> PricedTier:
    return replace(build_quote(book := a_shop(), job_of(book)).tiers[0], years=years)


def a_quote(told: Sensitivity | None) -> Quote:
    quote = build_quote(book := a_shop(), job_of(book))
    tiers = tuple(replace(quote.tiers[0], code=code, name=code.title()) for code in ("good", "best", "more"))
    return replace(quote, tiers=tiers, sensitivity=told)


def test_a_tiers_years() -> None:
    """The interest is a setting and stands elsewhere; the exact worth is for the engine alone."""
    assert over_years_json(a_tier(YEARS), 2) == {
        "horizon": "6",
        "cost": "267.00",
        "equivalent_a_year": "57.80",
        "by_year": ["100.00", "185.50", "267.00"],
        "repeats": [{"item": "NEW@left", "years": ["2.5", "5"], "each": "100.00", "together": "167.00"}],
    }


@pytest.mark.parametrize(("digits", "cost"), [(0, "267"), (2, "267.00"), (3, "267.000")])
def test_money_has_the_currencys_digits(digits: int, cost: str) -> None:
    found = over_years_json(a_tier(YEARS), digits)
    assert found is not None and found["cost"] == cost


def test_what_is_not_there_is_null_or_empty() -> None:
    """No stated life; a horizon of no years; nothing that comes round again."""
    assert over_years_json(a_tier(None), 2) is None
    found = over_years_json(a_tier(replace(YEARS, equivalent_a_year=None, repeats=())), 2)
    assert found is not None and (found["equivalent_a_year"], found["repeats"]) == (None, [])
    zero = over_years_json(a_tier(replace(YEARS, equivalent_a_year=D(0))), 2)
    assert zero is not None and zero["equivalent_a_year"] == "0.00"


CHANGE = OrderChange(
    below=D("0.080"), above=D("0.0801"), exactly=Fraction(1, 7), before=("good", "best"), after=("best", "good")
)
INTEREST = OrderRange(
    setting="interest", current=D("0.050"), low=D(0), high=D("0.20"), precision=D("0.0001"), changes=(CHANGE,)
)
HORIZON = OrderRange(setting="horizon", current=D(5), low=D(1), high=D(10), precision=D("0.01"), changes=())
TOLD = Sensitivity(
    order=("good", "best"),
    ranges=(INTEREST, HORIZON),
    tried=(("interest", D("0.10")), ("lives", D("0.5"))),
    too_many=False,
    choices=(
        OtherChoice(tier="good", setting="lives", value=D("0.50"), takes=("NEW",), in_place_of=("HOURLY", "SEAL")),
    ),
)


def told(**changed: Any) -> Any:
    return sensitivity_json(a_quote(replace(TOLD, **changed)))


def test_no_tier_is_offered() -> None:
    assert sensitivity_json(a_quote(None)) is None


def test_the_order_and_its_three_ranges_by_name() -> None:
    found = told()
    assert list(found) == ["order", "interest", "horizon", "lives", "choices"]
    assert found["order"] == ["good", "best"]
    assert found["lives"] is None
    assert {name: told(ranges=())[name] for name in ("interest", "horizon", "lives")} == {
        "interest": None,
        "horizon": None,
        "lives": None,
    }


def test_a_range_with_a_change() -> None:
    """A seventh is told exactly beside the two values that were priced."""
    found = told()["interest"]
    assert {name: found[name] for name in ("now", "low", "high", "precision")} == {
        "now": "0.05",
        "low": "0",
        "high": "0.2",
        "precision": "0.0001",
    }
    assert (found["order_changes"], found["least_changes"]) == (True, True)
    assert found["changes"] == [
        {"below": "0.08", "above": "0.0801", "exactly": "1/7", "before": ["good", "best"], "after": ["best", "good"]}
    ]
    assert isinstance(found["words"], str) and found["words"]


def test_a_change_behind_the_first_leaves_the_least_to_own() -> None:
    later = replace(CHANGE, before=("good", "best", "more"), after=("good", "more", "best"), exactly=None)
    found = told(ranges=(replace(INTEREST, changes=(later,)),))["interest"]
    assert (found["order_changes"], found["least_changes"]) == (True, False)
    assert found["changes"][0]["exactly"] is None


def test_a_range_in_which_the_order_stays() -> None:
    found = told()["horizon"]
    assert (found["order_changes"], found["least_changes"], found["changes"]) == (False, False, [])
    assert (found["now"], found["low"], found["high"]) == ("5", "1", "10")


def test_what_would_be_chosen_under_other_settings() -> None:
    found = told()["choices"]
    assert found["tried"] == [{"setting": "interest", "value": "0.1"}, {"setting": "lives", "value": "0.5"}]
    assert found["too_many"] is False and told(too_many=True)["choices"]["too_many"] is True
    assert found["changes"] == [
        {
            "tier": "good",
            "setting": "lives",
            "value": "0.5",
            "takes": ["NEW"],
            "in_place_of": ["HOURLY", "SEAL"],
        }
    ]
    assert all(isinstance(line, str) for line in found["words"])


def test_it_can_be_written_as_it_is() -> None:
    assert json.loads(json.dumps(told())) == told()
