"""Why a tier is what it is, as JSON: each record of the engine in its place, money with digits, the rest plain."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.why_json import why_json
from quotekit.model.source import NOWHERE, Source
from quotekit.model.why import (
    Alternative,
    BreakEven,
    Compared,
    Figures,
    Missing,
    Named,
    Refused,
    RemedyWhy,
    TierWhy,
)


def named(key: str, name: str) -> Named:
    return Named(key=key, name=name)


NEW, HOURLY, SHAFT = named("NEW", "New shaft"), named("HOURLY", "Build up"), named("SHAFT", "Shaft")
OWN = Figures(work=D("100"), over_years=D("300.5"), shortest_life=D("2.50"), lives_together=D("4.0"), operations=1)
OTHER = replace(OWN, work=D("110"), over_years=D("110"), shortest_life=D(5), lives_together=D(5))
TURNS = BreakEven(
    figure="price of the alternative",
    of=SHAFT,
    present=D(60),
    step=D("0.01"),
    wins_at=D("49.9"),
    tried=D("0.01"),
    then=(NEW,),
    pack_cost=D("33.3"),
    pack_cost_now=D("40.00"),
    source=Source(file="book.xlsx", sheet="Parts", row=7, columns={"Pack cost": "D"}),
    column="Pack cost",
)
INSTEAD = Alternative(
    takes=(NEW,),
    drops=(HOURLY,),
    leaves=("BENT",),
    figures=OTHER,
    difference=D(10),
    over_years=D("-190.5"),
    no_life=(),
    decided_by="lowest price",
)
REMEDY = RemedyWhy(
    remedy=HOURLY,
    fixes=("WORN",),
    standing="compared",
    only_for=("CRACKED",),
    refused=(Refused(remedy=named("GLUE", "Glue"), why="too deep"),),
    choices=2,
    alternative=INSTEAD,
    break_even=(TURNS,),
)
MISSING = Missing(
    kind="costs no less",
    against="Best",
    comparisons=(Compared(what="work", this="200.00", other="190.00"),),
    details=("It is the dearer.",),
    would_change=("Ten less.",),
    cheaper_by=D("10.01"),
)
WHY = TierWhy(
    aim="lowest price",
    planned=False,
    horizon=D("5.0"),
    figures=OWN,
    remedies=(REMEDY,),
    missing=MISSING,
    notes=("Too many to compare.",),
)


def one(why: TierWhy = WHY, digits: int = 2) -> Any:
    return why_json(why, digits)


def remedy(**changed: Any) -> Any:
    """The one remedy, changed."""
    return one(replace(WHY, remedies=(replace(REMEDY, **changed),)))["remedies"][0]


def turning(**changed: Any) -> Any:
    return remedy(break_even=(replace(TURNS, **changed),))["break_even"][0]


def test_what_a_tier_goes_by() -> None:
    found = one()
    assert list(found) == ["aim", "planned", "horizon", "figures", "remedies", "missing", "notes"]
    assert (found["aim"], found["planned"], found["horizon"]) == ("lowest price", False, "5")
    assert found["notes"] == ["Too many to compare."]
    assert one(replace(WHY, planned=True))["planned"] is True


@pytest.mark.parametrize(("digits", "work", "over_years"), [(2, "100.00", "300.50"), (3, "100.000", "300.500")])
def test_money_has_the_currencys_digits_and_years_are_plain(digits: int, work: str, over_years: str) -> None:
    """Zeros are added, never cut; 2.50 years are 2.5."""
    found = one(digits=digits)["figures"]
    assert found == {
        "work": work,
        "over_years": over_years,
        "shortest_life": "2.5",
        "lives_together": "4",
        "operations": 1,
    }


def test_a_tier_without_figures_or_reasons_to_be_missing_has_null() -> None:
    found = one(replace(WHY, figures=None, missing=None, remedies=()))
    assert (found["figures"], found["missing"], found["remedies"]) == (None, None, [])


def test_a_remedy_with_all_that_is_told_of_it() -> None:
    found = remedy()
    assert {name: found[name] for name in ("remedy", "fixes", "standing", "only_for", "refused", "choices")} == {
        "remedy": "HOURLY",
        "fixes": ["WORN"],
        "standing": "compared",
        "only_for": ["CRACKED"],
        "refused": [{"remedy": "GLUE", "why": "too deep"}],
        "choices": 2,
    }
    assert (found["done_by_larger_work"], found["swaps_only"]) == (False, False)
    assert isinstance(found["reason"], str) and found["reason"]
    assert len(found["would_change"]) == 1 and "Shaft" in found["would_change"][0]
    changed = remedy(done_by_larger_work=True, swaps_only=True)
    assert (changed["done_by_larger_work"], changed["swaps_only"]) == (True, True)


def test_the_alternative_by_its_codes_and_differences() -> None:
    assert remedy()["alternative"] == {
        "takes": ["NEW"],
        "drops": ["HOURLY"],
        "leaves": ["BENT"],
        "today": "10.00",
        "over_years": "-190.50",
        "no_life": [],
        "decided_by": "lowest price",
        "figures": {
            "work": "110.00",
            "over_years": "110.00",
            "shortest_life": "5",
            "lives_together": "5",
            "operations": 1,
        },
    }


def test_a_life_that_is_not_stated_leaves_the_years_null() -> None:
    found = remedy(alternative=replace(INSTEAD, over_years=None, no_life=(NEW, HOURLY)))["alternative"]
    assert (found["over_years"], found["no_life"]) == (None, ["NEW", "HOURLY"])
    assert remedy(alternative=None, break_even=())["alternative"] is None


def test_a_price_at_which_the_choice_turns_is_money() -> None:
    """The step is a plain number, and so is the pack cost as typed; the one to type is money."""
    assert turning() == {
        "figure": "price of the alternative",
        "of": "SHAFT",
        "now": "60.00",
        "wins_at": "49.90",
        "step": "0.01",
        "tried": "0.01",
        "then": ["NEW"],
        "among": "every choice",
        "pack_cost": "33.30",
        "pack_cost_now": "40",
        "cell": "book.xlsx:Parts!D7",
    }


@pytest.mark.parametrize("figure", ["hours of what is taken", "life of the alternative"])
def test_hours_and_lives_at_which_it_turns_are_plain(figure: Any) -> None:
    found = turning(figure=figure, present=D("1.50"), wins_at=D("0.30"), tried=D(0), pack_cost=None, pack_cost_now=None)
    assert (found["now"], found["wins_at"], found["tried"]) == ("1.5", "0.3", "0")
    assert (found["pack_cost"], found["pack_cost_now"]) == (None, None)


@pytest.mark.parametrize("figure", ["price of the alternative", "price of what is taken", "hours of what is taken"])
def test_where_no_value_turns_it_the_value_is_null_and_what_was_tried_stays(figure: Any) -> None:
    found = turning(figure=figure, wins_at=None, then=())
    assert (found["wins_at"], found["then"]) == (None, [])
    assert found["tried"] == "0.01"


def test_a_figure_that_was_not_read_from_a_workbook_has_no_cell() -> None:
    assert turning(source=NOWHERE)["cell"] is None


def test_among_which_choices_it_was_sought() -> None:
    assert turning(among="all else as chosen")["among"] == "all else as chosen"


def test_why_it_is_missing() -> None:
    assert one()["missing"] == {
        "kind": "costs no less",
        "against": "Best",
        "comparisons": [{"what": "work", "this": "200.00", "other": "190.00"}],
        "details": ["It is the dearer."],
        "would_change": ["Ten less."],
        "cheaper_by": "10.01",
    }


def test_a_tier_that_is_compared_with_none_and_no_price_brings_back() -> None:
    missing = Missing(kind="nothing to do")
    found = one(replace(WHY, missing=missing))["missing"]
    assert (found["against"], found["cheaper_by"]) == (None, None)
    assert (found["comparisons"], found["details"], found["would_change"]) == ([], [], [])
    assert one(replace(WHY, missing=replace(MISSING, cheaper_by=D(0))))["missing"]["cheaper_by"] == "0.00"


def test_it_can_be_written_as_it_is() -> None:
    """No Decimal is left in it."""
    assert json.loads(json.dumps(one())) == one()
