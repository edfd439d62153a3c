"""Proof and reasons as trees, by hand: groups multiplied, differences of two choices, a break-even on both sides."""

from __future__ import annotations

from typing import Any

from quotekit.model.explanation import Explanation, nodes
from quotekit.model.shop_book import Tier
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from tests import build
from tests.pricing.explain.recompute import faults


def trees(
    *, aim: str = "lowest price", second: bool = False, tiers: list[Tier] | None = None, tier: int = 0, **job: Any
) -> dict[str, Explanation]:
    """HOURLY is an hour, 100.00; NEW half an hour, 50.00, and a shaft at 60.00. A second finding has one remedy."""
    book = build.a_book(
        operations=[build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        parts=[build.a_part("SHAFT", 40)],
        findings=[build.a_finding("WORN"), build.a_finding("BENT")],
        remedies=[
            build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=9),
            build.a_remedy("STRAIGHT", ["BENT"], ["HALF"]),
        ],
        tiers=tiers or [build.a_tier("good", aim=aim)],
    )
    found = [build.a_finding_on("WORN"), *([build.a_finding_on("BENT")] if second else [])]
    quote = build_quote(book, build.a_job(*found, **job))
    return {tree.figure: tree for tree in explain_priced(quote, quote.tiers[tier])}


def test_choices_are_those_of_each_group_multiplied() -> None:
    """Two ways for WORN, one for BENT."""
    known = trees(second=True)
    assert [one.number for one in known["proof.choices"].inputs] == [1, 2]
    assert (known["proof.choices"].value, known["proof.priced"].value, known["compared"].value) == ("2", 2, 2)
    assert {one.value for one in known["proof.choices"].inputs[1].inputs} == {("HOURLY",), ("NEW",)}


def test_the_bound_is_the_least_of_all_that_were_priced() -> None:
    bound = trees()["proof.bound"]
    assert (bound.operation, {one.value for one in bound.inputs}) == ("least", {"100.00", "110.00"})
    assert trees()["proof.gap"].value == "0.00"


def test_least_to_own_is_bound_by_the_cost_over_the_years() -> None:
    """Over 5 years HOURLY comes round at 2 and 4: 300.00; NEW lasts."""
    bound = trees(aim="least to own")["proof.bound"]
    assert (bound.value, {one.value for one in bound.inputs}) == ("110.00", {"300.00", "110.00"})


def test_a_difference_is_one_choice_less_the_other() -> None:
    known = trees()
    today, over_years = (known[f"why.remedies.HOURLY.alternative.{name}"] for name in ("today", "over_years"))
    assert [(one.figure, one.value) for one in today.inputs] == [
        ("work (with NEW in place of HOURLY)", "110.00"),
        ("work", "100.00"),
    ]
    assert (today.value, over_years.value) == ("10.00", "-190.00")


def test_a_break_even_shows_both_sides() -> None:
    """At 49.99 NEW comes to 99.99, a cent less; at 50.00 to 100.00, a tie that HOURLY's code wins."""
    wins_at = trees()["why.remedies.HOURLY.break_even.0.wins_at"]
    assert (wins_at.value, [one.value for one in wins_at.inputs]) == ("49.99", ["-0.01", "0.00"])
    supposed = {node.value for node in nodes(wins_at) if node.rule.startswith("Supposed")}
    assert supposed == {"49.99", "50"}


def test_a_value_that_does_not_turn_the_choice_is_found() -> None:
    """The recomputing test would see a break-even a cent off."""
    wins_at = trees()["why.remedies.HOURLY.break_even.0.wins_at"]
    there, nearer = wins_at.inputs
    assert faults([wins_at]) == []
    swapped = Explanation(
        figure=wins_at.figure,
        value=wins_at.value,
        rule=wins_at.rule,
        operation="turns at",
        number=wins_at.number,
        rounding=wins_at.rounding,
        inputs=(nearer, there),
    )
    assert len(faults([swapped])) == 1


def test_what_is_decided_by_lives_names_them() -> None:
    """By the longest life NEW is taken: it lasts the 5 years compared, HOURLY 2."""
    known = trees(aim="longest life")
    assert known["why.figures.shortest_life"].value == "5"
    assert known["why.remedies.NEW.alternative.figures.shortest_life"].value == "2"
    lives = [one.value for one in known["why.remedies.NEW.alternative.decided_by"].inputs][:4]
    assert lives == ["5", "5", "2", "2"]


def test_whether_it_is_offered_shows_what_was_looked_at() -> None:
    inputs = {one.figure: one.value for one in trees()["offered"].inputs}
    assert inputs["work"] == "100.00"
    assert inputs["fixed compared"] == ("WORN",)
    assert inputs["WORN lasts"] == "2"


def test_one_off_work_is_told_apart_from_operations() -> None:
    """The list of what was compared and the number beside it say the same: HOUR; the lines of the job by themselves."""
    lines = [build.a_one_off(1, quantity="0.5"), build.a_one_off(2, "part", 3, unit_price=5)]
    known = trees(one_off=lines)
    inputs = {one.figure: one.value for one in known["offered"].inputs}
    assert inputs["operations compared"] == ("HOUR",)
    assert inputs["one-off lines compared"] == ("ONEOFF-1", "ONEOFF-2")
    assert inputs["parts compared"] == ("ONEOFF-2 x 3",)
    assert known["why.figures.operations"].value == 1


def test_what_makes_a_tier_the_same_work_is_laid_side_by_side() -> None:
    """One line more on the job: `best` is no repeat of `good`; operations, parts and lines of both are in its tree."""
    tiers = [build.a_tier("good"), build.a_tier("best", aim="longest life")]
    only = build.a_one_off(1, quantity="0.5", tiers=["best"])
    inputs = {one.figure: one.value for one in trees(tiers=tiers, one_off=[only], tier=1)["offered"].inputs}
    assert inputs["one-off lines compared"] == ("ONEOFF-1",)
    assert inputs["one-off lines compared (Good)"] == ()
    assert (inputs["parts compared"], inputs["parts compared (Good)"]) == (("SHAFT x 1",), ())
