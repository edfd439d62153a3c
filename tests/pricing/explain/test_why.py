"""Why a tier takes what it takes, as trees: two choices beside each other, a break-even on both sides (rules 5.7).

WORN is put right by HOURLY, an hour at 100.00 that lasts two years, or by NEW, half an hour and a shaft at 60.00,
110.00 together, that lasts nine. Over the five years compared HOURLY comes round after two and four: 300.00.
"""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from quotekit.model.explanation import Explanation
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import both_or_two, job_of, reads, said, trees

PRICE, LIFE, OWN = "lowest price", "longest life", "least to own"


def a_shop(aim: str = PRICE, **values: Any) -> ShopBook:
    """One finding with two remedies, one tier."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        "parts": [build.a_part("SHAFT", 40)],
        "findings": [build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=9),
        ],
        "tiers": [build.a_tier("good", aim=aim)],
    }
    return build.a_book(**(named | values))


@cache
def known(aim: str = PRICE) -> dict[str, Explanation]:
    """Every figure of the tier; those of its reasons follow from their inputs."""
    made = trees(a_shop(aim))
    assert faults(node for name, node in made.items() if name.startswith("why.")) == []
    return made


def value(figure: str, aim: str = PRICE) -> object:
    return known(aim)[f"why.{figure}"].value


def test_the_aim_is_that_of_its_row_and_the_horizon_that_of_the_years() -> None:
    node = known(OWN)["why.aim"]
    assert (node.value, node.operation, reads(node)) == (OWN, "given", ["good: Aim"])
    assert said(known()["why.horizon"]) == "5 = same(over_years.horizon 5)"


@pytest.mark.parametrize(
    ("aim", "own", "other"),
    [
        (PRICE, ["100.00", "300.00", "2", "2", 1], ["110.00", "110.00", "5", "5", 1]),
        (LIFE, ["110.00", "110.00", "5", "5", 1], ["100.00", "300.00", "2", "2", 1]),
        (OWN, ["110.00", "110.00", "5", "5", 1], ["100.00", "300.00", "2", "2", 1]),
    ],
)
def test_both_choices_have_the_same_five_figures(aim: str, own: list[object], other: list[object]) -> None:
    """By price HOURLY is taken and NEW told beside it, by the other aims the other way round."""
    names = ["work", "over_years", "shortest_life", "lives_together", "operations"]
    taken = "HOURLY" if aim == PRICE else "NEW"
    assert [value(f"figures.{name}", aim) for name in names] == own
    assert [value(f"remedies.{taken}.alternative.figures.{name}", aim) for name in names] == other


@pytest.mark.parametrize(
    ("figure", "line"),
    [
        (
            "remedies.HOURLY.alternative.today",
            "10.00 = difference(work (with NEW in place of HOURLY) 110.00, work 100.00)",
        ),
        (
            "remedies.HOURLY.alternative.over_years",
            "-190.00 = difference(horizon_cost (with NEW in place of HOURLY) 110.00, horizon_cost 300.00)",
        ),
        ("figures.work", "100.00 = same(work 100.00)"),
        ("figures.over_years", "300.00 = same(horizon_cost 300.00)"),
        ("remedies.HOURLY.choices", "2 = count(choice 1 ('NEW',), choice 2 ('HOURLY',))"),
    ],
)
def test_a_difference_is_the_other_choice_less_the_one_taken(figure: str, line: str) -> None:
    assert said(known()[f"why.{figure}"]) == line


def test_a_difference_says_what_is_compared() -> None:
    rules = {name: known()[f"why.remedies.HOURLY.alternative.{name}"].rule for name in ("today", "over_years")}
    assert rules == {
        "today": "Work with NEW in place of HOURLY, less work as chosen (rules 5.7).",
        "over_years": (
            "Cost over the years with NEW in place of HOURLY, less cost over the years as chosen (rules 5.7)."
        ),
    }


@pytest.mark.parametrize(
    ("aim", "word", "values"),
    [
        (PRICE, PRICE, ["100.00", "110.00", 1, 1]),
        (OWN, OWN, ["110.00", "110.00", "300.00", "100.00", 1, 1]),
        (LIFE, "shortest life", ["5", "5", "2", "2", "110.00", "110.00", "300.00", "100.00", 1, 1]),
    ],
)
def test_what_decided_shows_the_figures_in_the_order_of_the_aim(aim: str, word: str, values: list[object]) -> None:
    """By price the work; to own the cost over the years, then the work; by life the lives first. Operations last."""
    node = known(aim)[f"why.remedies.{'HOURLY' if aim == PRICE else 'NEW'}.alternative.decided_by"]
    assert (node.value, [one.value for one in node.inputs]) == (word, values)


@pytest.mark.parametrize(
    ("aim", "place", "expected"),
    [
        (PRICE, "HOURLY.break_even.0", {"now": "60.00", "step": "0.01", "tried": "0.01", "wins_at": "49.99"}),
        (OWN, "NEW.break_even.0", {"now": "1", "step": "0.01", "tried": "0", "wins_at": "0.3"}),
        (OWN, "NEW.break_even.1", {"now": "2", "step": "0.01", "tried": "5", "wins_at": "5"}),
        (OWN, "NEW.break_even.2", {"now": "9", "step": "0.01", "tried": "0.25", "wins_at": "2.49"}),
        (LIFE, "NEW.break_even.1", {"now": "9", "step": "0.01", "tried": "0.25", "wins_at": "2"}),
    ],
)
def test_where_the_choice_turns(aim: str, place: str, expected: dict[str, str]) -> None:
    """A shaft at 49.99 makes NEW 99.99. To own, HOURLY three times an hour's part, 0.36 at most, is below 110.00:
    0.3 h by the step of a tenth; lasting five years it is 100.00; and NEW has to come round twice to be 330.00."""
    assert {name: value(f"remedies.{place}.{name}", aim) for name in expected} == expected


@pytest.mark.parametrize(
    ("aim", "name", "cells"),
    [
        (OWN, "NEW.break_even.0.now", ["HOUR: Net hours"]),
        (OWN, "NEW.break_even.1.now", ["HOURLY: Life years"]),
        (PRICE, "HOURLY.break_even.0.pack_cost_now", ["SHAFT: Pack cost"]),
        (PRICE, "HOURLY.break_even.0.pack_cost", ["SHAFT: Pack cost"]),
    ],
)
def test_the_value_now_names_its_cell(aim: str, name: str, cells: list[str]) -> None:
    assert reads(known(aim)[f"why.remedies.{name}"]) == cells


def test_a_price_now_has_its_tree_and_a_pack_cost_of_its_own() -> None:
    """40.00 with half on top is 60.00; at 33.32 it is 49.98, at 33.33 it would be 50.00."""
    start = "why.remedies.HOURLY.break_even.0"
    assert said(known()[f"{start}.now"]) == "60.00 = same(parts.SHAFT.unit_price 60.00)"
    assert (known()[f"{start}.pack_cost"].value, known()[f"{start}.pack_cost_now"].value) == ("33.32", "40")
    assert f"{start}.pack_cost" in known() and "why.remedies.NEW.break_even.0.pack_cost" not in known(OWN)


def test_where_no_value_turns_it_the_best_that_was_tried_is_shown() -> None:
    """NEW takes an hour and a half: even with a shaft for a cent it is dearer than the hour."""
    book = a_shop(operations=[build.an_operation("HALF", "1.5"), build.an_operation("HOUR", 1)])
    made = trees(book)
    start = "why.remedies.HOURLY.break_even.0"
    node, tried = made[f"{start}.wins_at"], made[f"{start}.tried"]
    assert (node.value, node.operation) == (None, "decided") and "No value that is tried" in node.rule
    assert [one.value for one in node.inputs] == [one.value for one in tried.inputs] == ["50.01"]


def test_a_life_that_is_not_stated_leaves_the_years_out() -> None:
    """Its blank cell is named: it is what the owner would fill in."""
    remedies = [
        build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
        build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=None),
    ]
    node = trees(a_shop(remedies=remedies))["why.remedies.HOURLY.alternative.over_years"]
    assert node.value is None and "the life of NEW is not stated" in node.rule
    assert reads(node) == ["NEW: Life years"]


def test_a_planned_remedy_was_not_compared() -> None:
    book = a_shop()
    job = job_of(book, plan=(build.a_plan_item("good", "NEW"),))
    made = trees(book, job)
    node = made["why.remedies.NEW.choices"]
    assert (node.value, node.operation) == (0, "decided") and "not compared" in node.rule
    assert "why.remedies.NEW.alternative.today" not in made


def test_a_remedy_left_out_is_said_so() -> None:
    """BOTH puts two faults right in one go; BELT the one, and then SEAL the other."""
    book = a_shop(**both_or_two())
    node = trees(book)["why.remedies.BOTH.alternative.today"]
    assert said(node) == "70.00 = difference(work (with BELT and SEAL in place of BOTH) 170.00, work 100.00)"


def test_a_tier_that_could_not_be_worked_out_has_no_figures() -> None:
    """How long NEW lasts is not stated, and the aim has to choose by years."""
    remedies = [
        build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
        build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=None),
    ]
    made = trees(a_shop(OWN, remedies=remedies))
    node = made["why.figures"]
    assert node.value is None and "could not be worked out" in node.rule
    assert "why.figures.work" not in made


def in_the_minimum(**values: Any) -> ShopBook:
    """A belt inside the minimum of two hours comes free: good costs what better costs."""
    return a_shop(
        settings=build.settings(minimum_labour_hours=2),
        operations=[
            build.an_operation("HALF", "0.5"),
            build.an_operation("HOUR", 1),
            build.an_operation("WIPE", "0.1"),
        ],
        findings=[build.a_finding("WORN", "safety"), build.a_finding("FRAYED"), build.a_finding("DIRTY", "advised")],
        remedies=[
            build.a_remedy("BRAKED", ["WORN"], ["HOUR"]),
            build.a_remedy("BELTED", ["FRAYED"], ["HALF"]),
            build.a_remedy("CLEANED", ["DIRTY"], ["WIPE"]),
        ],
        **values,
    )


GOOD, BETTER = build.a_tier("good", ["safety"]), build.a_tier("better", aim=LIFE)
BEST = build.a_tier("best", ["safety", "needed", "advised"])


def test_how_much_cheaper_it_would_have_to_be() -> None:
    """A cent less brings it back."""
    book = in_the_minimum(tiers=[GOOD, BETTER])
    made = trees(book)
    assert said(made["why.missing.cheaper_by"]) == "0.01 = sum(above that by 0.00, one unit 0.01)"
    assert said(made["above that by"]) == "0.00 = difference(work 200.00, least work of those 200.00)"
    assert said(made["least work of those"]) == "200.00 = least(work (Better) 200.00)"
    better = trees(book, tier="better")
    assert "why.missing.cheaper_by" not in better
    assert reads(better["why.aim"]) == ["better: Aim"]


def test_cheaper_than_every_tier_that_keeps_it_out() -> None:
    """Best does all three and has 10.00 off for it: 190.00, and good has to be below that."""
    bundle = build.a_bundle("ALL", ["BRAKED", "BELTED", "CLEANED"], "labour amount off", 10)
    made = trees(in_the_minimum(tiers=[GOOD, BETTER, BEST], bundles=[bundle]))
    assert said(made["why.missing.cheaper_by"]) == "10.01 = sum(above that by 10.00, one unit 0.01)"
    least = made["least work of those"]
    assert (least.value, least.operation) == ("190.00", "least")
    assert "190.00" in [one.value for one in least.inputs]


def three_ways(others: int = 0) -> ShopBook:
    """PLAIN is an hour, 100.00; WITH 0.8 h and a shaft at 24.00, 104.00; SHAFTS 0.1 h and four shafts, 106.00.

    Each of the other findings is put right in 0.1 h, or in 0.2 h by another remedy.
    """
    more = range(others)
    return a_shop(
        operations=[build.an_operation(*each) for each in (("A", 1), ("B", "0.8"), ("C", "0.1"))]
        + [build.an_operation(f"SHORT-{n}", "0.1") for n in more]
        + [build.an_operation(f"LONG-{n}", "0.2") for n in more],
        parts=[build.a_part("SHAFT", 16)],
        findings=[build.a_finding("WORN"), *(build.a_finding(f"F-{n}") for n in more)],
        remedies=[
            build.a_remedy("PLAIN", ["WORN"], ["A"]),
            build.a_remedy("WITH", ["WORN"], ["B"], parts="SHAFT"),
            build.a_remedy("SHAFTS", ["WORN"], ["C"], parts="SHAFT x 4"),
            *(build.a_remedy(f"S-{n}", [f"F-{n}"], [f"SHORT-{n}"]) for n in more),
            *(build.a_remedy(f"T-{n}", [f"F-{n}"], [f"LONG-{n}"]) for n in more),
        ],
    )


START = "why.remedies.PLAIN"


def test_a_third_choice_may_win_before_the_alternative_does() -> None:
    """WITH is the alternative at 104.00, and would win below 20.00. SHAFTS moves four times as fast: below 22.50."""
    made = trees(three_ways())
    assert said(made[f"{START}.alternative.today"]).startswith("4.00 = difference(work (with WITH in place of PLAIN)")
    node = made[f"{START}.break_even.0.wins_at"]
    assert said(node).startswith("22.49 = turns at(behind at SHAFT at 22.49 -0.04, behind at SHAFT at 22.50 0.00)")
    sides = [said(one) for one in node.inputs]
    assert sides == [
        "-0.04 = difference(work (without PLAIN, SHAFT at 22.49) 99.96, work (with PLAIN, SHAFT at 22.49) 100.00)",
        "0.00 = difference(work (without PLAIN, SHAFT at 22.50) 100.00, work (with PLAIN, SHAFT at 22.50) 100.00)",
    ]
    assert faults(one for name, one in made.items() if name.startswith("why.")) == []
    assert made[f"{START}.choices"].value == 3


def test_the_pack_cost_that_goes_with_it_is_that_of_the_third() -> None:
    """14.99 with half on top is 22.49; 15.00 is 22.50, where SHAFTS comes to the same and the codes decide."""
    node = trees(three_ways())[f"{START}.break_even.0.pack_cost"]
    assert node.value == "14.99"
    assert [one.value for one in node.inputs] == ["-0.04", "0.00"]


def test_with_too_many_choices_only_the_alternative_is_told() -> None:
    """Six more findings with two remedies each are 192 choices: all else stays as chosen, and SHAFTS is not seen.

    The six are 0.6 h, 60.00: at 19.99 WITH comes to 159.99 and PLAIN to 160.00.
    """
    made = trees(three_ways(6))
    node = made[f"{START}.break_even.0.wins_at"]
    assert said(node).startswith("19.99 = turns at(behind at SHAFT at 19.99 -0.01, behind at SHAFT at 20.00 0.00)")
    assert said(node.inputs[0]) == (
        "-0.01 = difference(work (without PLAIN, SHAFT at 19.99) 159.99, work (with PLAIN, SHAFT at 19.99) 160.00)"
    )
    assert made[f"{START}.choices"].value == 3, "of its own finding"
    assert said(trees(three_ways(5))[f"{START}.break_even.0.wins_at"]).startswith("22.49"), "96 choices are looked at"
