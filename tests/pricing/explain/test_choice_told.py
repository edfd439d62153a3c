"""One complete choice laid open: its work, its cost over the years, its lives and its operations, by hand (rules 5.7).

HOURLY puts WORN right in an hour and lasts two years; NEW does in half an hour with a shaft at 60.00, 110.00, and lasts
nine; DRESSED puts BENT right in half an hour and its life is not stated. Five years are compared.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.explanation import Explanation, nodes
from quotekit.pricing import build_quote
from quotekit.pricing.explain.choice_told import ChoiceTold, lay_open, named, of_tier
from quotekit.pricing.explain.worked_again import Again
from quotekit.pricing.setup import Setup, set_up
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import reads, said, typed

BOTH = frozenset({"WORN", "BENT"})


def a_setup(**values: Any) -> Setup:
    """The shop with both faults found."""
    named_values: dict[str, Any] = {
        "operations": [
            build.an_operation("HALF", "0.5"),
            build.an_operation("HOUR", 1),
            build.an_operation("DRESS", "0.5"),
        ],
        "parts": [build.a_part("SHAFT", 40)],
        "findings": [build.a_finding("WORN"), build.a_finding("BENT")],
        "remedies": [
            build.a_remedy("HOURLY", ["WORN"], ["HOUR"], life_years=2),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="SHAFT", life_years=9),
            build.a_remedy("DRESSED", ["BENT"], ["DRESS"], life_years=None),
        ],
        "tiers": [build.a_tier("good")],
    }
    book = build.a_book(**(named_values | values))
    return set_up(typed(book), typed(build.a_job(build.a_finding_on("WORN"), build.a_finding_on("BENT"))))


def choice(*keys: str, setup: Setup | None = None, covered: frozenset[str] = BOTH) -> ChoiceTold:
    """A choice of the tier, by its remedies."""
    setup = setup or a_setup()
    return lay_open(setup, "good", [setup.candidates.items[key] for key in keys], covered, " (so)")


FIGURES = ("work", "over_years", "shortest_life", "lives_together", "operations")


def figures(one: ChoiceTold) -> list[object]:
    """All five by value; each of their numbers follows from its inputs."""
    made: list[Explanation] = [getattr(one, name)() for name in FIGURES]
    assert faults(made) == []
    return [node.value for node in made]


@pytest.mark.parametrize(
    ("keys", "expected"),
    [
        (["HOURLY"], ["100.00", "300.00", "2", "2", 1]),
        (["NEW"], ["110.00", "110.00", "5", "5", 1]),
        (["DRESSED"], ["50.00", "50.00", "5", "5", 1]),
        (["DRESSED", "HOURLY"], ["150.00", "350.00", "2", "7", 2]),
        (["NEW", "DRESSED"], ["160.00", "160.00", "5", "10", 2]),
        ([], ["0.00", "0.00", "5", "0", 0]),
    ],
)
def test_the_figures_by_which_choices_are_compared(keys: list[str], expected: list[object]) -> None:
    """HOURLY comes round after two and four years; nine years count as five, and so does no life stated."""
    assert figures(choice(*keys)) == expected


def test_lives_go_down_to_their_cells() -> None:
    one = choice("NEW", "DRESSED")
    lives = {node.figure: node for node in nodes(one.lives_together())}
    assert said(one.lives_together()) == "10 = sum(life of BENT (so) 5, life of WORN (so) 5)"
    assert said(one.shortest_life()) == "5 = least(life of BENT (so) 5, life of WORN (so) 5)"
    assert said(lives["life of WORN (so)"]) == "5 = most(life of NEW counted 5)"
    assert said(lives["life of NEW counted"]) == "5 = least(Life years of NEW 9, over_years.horizon 5)"
    assert reads(lives["Life years of NEW"]) == ["NEW: Life years"]
    assert said(lives["life of DRESSED counted"]) == "5 = same(over_years.horizon 5)"
    assert reads(lives["life of DRESSED counted"]) == ["DRESSED: Life years"], "a blank cell decides too"


def test_the_longest_of_two_remedies_for_one_fault_counts() -> None:
    """Both are taken: WORN is put right as long as NEW lasts."""
    one = choice("HOURLY", "NEW")
    life = next(node for node in nodes(one.lives_together()) if node.figure == "life of WORN (so)")
    assert said(life) == "5 = most(life of HOURLY counted 2, life of NEW counted 5)"


def test_only_covered_findings_count() -> None:
    """What a remedy puts right beyond the tier's findings lengthens no life of the tier."""
    one = choice("HOURLY", "DRESSED", covered=frozenset({"BENT"}))
    assert said(one.lives_together()) == "5 = sum(life of BENT (so) 5)"


def test_where_nothing_is_put_right_the_years_compared_are_the_shortest_life() -> None:
    """Nothing taken lasts less than the years compared."""
    node = choice().shortest_life()
    assert said(node) == "5 = same(over_years.horizon 5)"
    assert "No remedy puts anything right" in node.rule


def test_operations_are_named() -> None:
    """A one-off line of labour is no operation of the book."""
    node = choice("NEW", "DRESSED").operations()
    assert [(one.figure, one.value) for one in node.inputs] == [
        ("operation DRESS", "DRESS"),
        ("operation HALF", "HALF"),
    ]
    assert (node.operation, node.figure) == ("count", "number of operations (so)")


def test_work_of_a_one_off_line_is_work_and_no_operation() -> None:
    book = a_setup().basis.book
    line = build.a_one_off(1, "labour", "0.2")
    setup = set_up(book, typed(build.a_job(build.a_finding_on("WORN"), build.a_finding_on("BENT"), one_off=(line,))))
    assert figures(choice("NEW", setup=setup)) == ["130.00", "130.00", "5", "5", 1]


def test_each_figure_is_made_once() -> None:
    """Two figures that need the same life share its node."""
    one = choice("NEW")
    assert one.shortest_life() is one.shortest_life() and one.operations() is one.operations()
    assert one.shortest_life().inputs[0] is one.lives_together().inputs[0]


def test_the_keys_are_those_of_the_remedies_in_text_order() -> None:
    one = choice("NEW", "DRESSED")
    assert one.keys == {"NEW", "DRESSED"}
    assert [item.key for item in one.remedies] == ["DRESSED", "NEW"]


def test_a_choice_is_said_to_be_another() -> None:
    assert (choice("NEW").work().figure, choice("NEW").over_years().figure) == ("work (so)", "horizon_cost (so)")


def test_a_tier_as_it_was_worked_out() -> None:
    """The tier takes the least work: HOURLY and DRESSED."""
    setup = a_setup()
    (worked,) = Again(setup, build_quote(setup.basis.book, setup.basis.job)).worked
    one = of_tier(setup, worked)
    assert figures(one) == ["150.00", "350.00", "2", "7", 2]
    assert (one.work().figure, one.covered) == ("work (Good)", BOTH)


def test_a_figure_under_a_name_has_its_own_tree_below() -> None:
    work = choice("NEW").work()
    node = named(work, "why.figures.work")
    assert (node.figure, node.value, node.operation, node.inputs) == ("why.figures.work", "110.00", "same", (work,))
    assert (node.number, node.form, node.rule) == (work.number, "money", work.rule)
