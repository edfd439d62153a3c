"""What the order of the tiers hangs on, as trees: both sides of each change by hand (rules 5.7).

Good is a patch of 100.00 that lasts two years, better a renewal of 260.00 that lasts; five years are compared without
interest. Good comes round after two and after four years: 300.00, so better comes first as it stands.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest

from quotekit.model.explanation import Explanation, nodes
from quotekit.model.shop_book import ShopBook
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import assert_reads, assert_said, said, trees
from tests.pricing.test_years_sensitivity import two_tiers


@cache
def known(**settings: str) -> dict[str, Explanation]:
    """Every figure of good, and every number on the way."""
    made = trees(two_tiers(settings=build.settings(**settings)))
    assert faults(tree for name, tree in made.items() if name.startswith("sensitivity.")) == []
    return made


def inputs(figure: str, **settings: str) -> list[tuple[str, object]]:
    """What a figure shows, by name and value."""
    return [(one.figure, one.value) for one in known(**settings)[figure].inputs]


def test_the_order_shows_the_cost_of_each_tier() -> None:
    costs = [("cost as it stands (Better)", "260.00"), ("cost as it stands", "300.00")]
    assert known()["sensitivity.order"].value == ("better", "good")
    assert inputs("sensitivity.order") == costs
    assert [inputs(f"sensitivity.order.{code}") for code in ("better", "good")] == [[one] for one in costs]


def test_a_cost_is_work_and_what_comes_round_again() -> None:
    assert said(known()["cost as it stands"]) == (
        "300.00 = sum(work 100.00, SHORT again after 2 years 100, SHORT again after 4 years 100), half up to cents"
    )


def test_no_tier_no_order() -> None:
    """Without a remedy nothing is offered."""
    made = trees(two_tiers(remedies=[]))
    assert said(made["sensitivity"]) == "None = decided()"
    assert "nothing to put in order" in made["sensitivity"].rule


@pytest.mark.parametrize(
    ("figure", "line"),
    [
        ("interest.now", "0 = same(Interest a year 0)"),
        ("interest.low", "0 = given()"),
        ("interest.high", "0.2 = most(looked at up to 0.2, Interest a year 0)"),
        ("interest.precision", "0.0001 = given()"),
        ("horizon.now", "5 = same(over_years.horizon 5)"),
        ("horizon.low", "2.5 = product(over_years.horizon 5, so many times 0.5)"),
        ("horizon.high", "10 = product(over_years.horizon 5, so many times 2)"),
        ("horizon.precision", "0 = given()"),
        ("lives.now", "1 = given()"),
        ("lives.low", "0.5 = given()"),
        ("lives.high", "2 = given()"),
        ("lives.precision", "0 = given()"),
    ],
)
def test_each_setting_is_looked_at_from_one_end_to_the_other(figure: str, line: str) -> None:
    """Half to double, and up to 20 % a year."""
    assert said(known()[f"sensitivity.{figure}"]) == line


def test_the_ends_of_the_horizon_say_what_they_are() -> None:
    ends = {name: known()[f"sensitivity.horizon.{name}"].rule for name in ("low", "high")}
    assert ends == {"low": "Half the years compared.", "high": "Double the years compared."}


def test_interest_is_looked_at_up_to_the_shops_own_where_that_is_more() -> None:
    assert said(known(interest_a_year="0.25")["sensitivity.interest.high"]) == (
        "0.25 = most(looked at up to 0.2, Interest a year 0.25)"
    )


@pytest.mark.parametrize(
    ("setting", "below", "above", "before", "after"),
    [
        ("horizon", ("over 4 years", "200.00"), ("over 4.000000000001 years", "300.00"), "good", "better"),
        (
            "lives",
            ("with 1.249999999999 times the lives", "300.00"),
            ("with 1.25 times the lives", "200.00"),
            "better",
            "good",
        ),
    ],
)
def test_a_change_is_shown_on_both_sides(
    setting: str, below: tuple[str, str], above: tuple[str, str], before: str, after: str
) -> None:
    """The second time comes after four years, twice a life of two: before that good costs 200.00, less than 260.00.

    With lives 1.25 times as long it comes after five years, which is no longer within them.
    """
    made, start = known(), f"sensitivity.{setting}.changes.0"
    for side, order, (point, good) in (("below", "before", below), ("above", "after", above)):
        costs = [(f"cost {point} (Better)", "260.00"), (f"cost {point}", good)]
        least = before if side == "below" else after
        assert sorted(inputs(f"{start}.{side}")) == sorted(costs)
        assert sorted(inputs(f"{start}.{order}")) == sorted(costs)
        assert made[f"{start}.{order}"].value == (least, "good" if least == "better" else "better")
        assert inputs(f"{start}.{order}.good") == costs[1:]
        assert inputs(f"{start}.{order}.better") == costs[:1]
        assert f"those {side} the change" in made[f"{start}.{side}"].rule
        assert f"By cost over the years {order} the change" in made[f"{start}.{order}"].rule
        assert said(made[f"cost {point}"]).count("SHORT again") == {"200.00": 1, "300.00": 2}[good]
    assert "the one before here; the costs are those below" in made[f"{start}.below"].rule
    assert "the one after here; the costs are those above" in made[f"{start}.above"].rule


def test_at_a_supposed_factor_all_lives_are_longer() -> None:
    """2 x 1.25 are 2.5 years."""
    tree = known()["cost with 1.25 times the lives"]
    after = next(node for node in nodes(tree) if node.figure == "years to turn 1 of SHORT")
    assert said(after) == "2.5 = product(Life years of SHORT 2, turn 1, times the lives stated 1.25)"
    as_stated = next(node for node in nodes(known()["cost as it stands"]) if node.figure == "years to turn 2 of SHORT")
    assert said(as_stated) == "4 = product(Life years of SHORT 2, turn 2)"


@pytest.mark.parametrize(
    ("figure", "line", "rule"),
    [
        ("horizon", "4 = same(years to turn 2 of SHORT 4)", "At this horizon SHORT comes round once more"),
        (
            "lives",
            "5/4 = quotient(over_years.horizon 5, years to turn 2 of SHORT 4)",
            "At so many times its life SHORT comes round once less",
        ),
        ("interest", "None = decided()", "narrowed down between below and above"),
    ],
)
def test_where_exactly_it_changes(figure: str, line: str, rule: str) -> None:
    """At an interest it drifts: there is no exact value to tell."""
    node = known()[f"sensitivity.{figure}.changes.0.exactly"]
    assert said(node) == line
    assert rule in node.rule


@pytest.mark.parametrize(
    ("life", "hours", "line"),
    [
        ("1.5", "2.5", "3 = same(years to turn 2 of SHORT 3)"),
        ("3", "1.5", "3 = same(years to turn 1 of SHORT 3)"),
    ],
)
def test_the_turn_that_changes_the_order_is_named(life: str, hours: str, line: str) -> None:
    """Renewed is 250.00: a patch of a year and a half is 200.00 up to three years, its second turn makes it 300.00.

    Renewed at 150.00, a patch of three years is less until its first.
    """
    book = two_tiers(
        operations=[build.an_operation("PATCH", "1"), build.an_operation("RENEW", hours)],
        remedies=[
            build.a_remedy("SHORT", ["WORN"], ["PATCH"], life_years=life),
            build.a_remedy("LONG", ["WORN"], ["RENEW"], life_years=20),
        ],
    )
    assert_said({"sensitivity.horizon.changes.0.exactly": line}, book)


def test_interest_is_narrowed_down_and_both_sides_are_priced() -> None:
    """100 + 100 / q^2 + 100 / q^4 = 260 for 1 / q^2 = 0.860147, the root of x^2 + x = 1.6: at an interest of 7.823 %.

    Below it good is dearer than better, above cheaper; the two sides are no more than 0.01 % apart.
    """
    made, start = known(), "sensitivity.interest.changes.0"
    below, above = (Fraction(str(made[f"{start}.{side}"].value)) for side in ("below", "above"))
    turns = Fraction("0.0782329")
    assert below < turns < above and above - below <= Fraction("0.0001")
    for side, value in (("below", below), ("above", above)):
        (_, better), (name, good) = inputs(f"{start}.{side}")
        growth = 1 + value
        assert name == f"cost at interest {made[f'{start}.{side}'].value}" and better == "260.00"
        assert abs(Fraction(str(good)) - (100 + 100 / growth**2 + 100 / growth**4)) <= Fraction("0.005")
        assert (Fraction(str(good)) > 260) == (side == "below")


def test_a_supposed_interest_is_said_to_be_supposed() -> None:
    """The shop's own has its cell; what is looked at beside it stands in none."""
    made = known(interest_a_year="0.05")
    stands = next(node for node in nodes(made["cost as it stands"]) if node.figure == "1 + interest")
    assert said(stands) == "1.05 = one plus(Interest a year 0.05)" and stands.inputs[0].cells
    side = made["sensitivity.interest.changes.0.below"].inputs[1]
    other = next(node for node in nodes(side) if node.figure == "1 + interest")
    assert [(one.figure, one.rule, one.cells) for one in other.inputs] == [("interest supposed", "Supposed.", ())]
    assert_reads({"sensitivity.interest.now": "", "Interest a year": "Interest a year: Value"}, two_tiers())


@pytest.mark.parametrize("setting", ["interest", "horizon", "lives"])
def test_whether_it_changes_shows_both_sides_of_each_change(setting: str) -> None:
    made = known()
    for name in ("order_changes", "least_changes"):
        node = made[f"sensitivity.{setting}.{name}"]
        assert node.value is True and len(node.inputs) == 4
        assert "on its two sides" in node.rule


def steady() -> ShopBook:
    """A renewal of 120.00: less than the patch with one more time, from two and a half years on."""
    return two_tiers(operations=[build.an_operation("PATCH", "1"), build.an_operation("RENEW", "1.2")])


def test_where_the_order_holds_both_ends_are_shown() -> None:
    """Over 2.5 years 200.00 against 120.00, over 10 years 500.00."""
    made = trees(steady())
    node = made["sensitivity.horizon.order_changes"]
    assert node.value is False and "keep their order" in node.rule
    assert [(one.figure, one.value) for one in node.inputs] == [
        ("cost over 2.5 years (Better)", "120.00"),
        ("cost over 2.5 years", "200.00"),
        ("cost over 10 years (Better)", "120.00"),
        ("cost over 10 years", "500.00"),
    ]
    assert made["sensitivity.horizon.least_changes"].value is False


@pytest.mark.parametrize(
    ("figure", "line"),
    [
        ("horizon.value", "2.5 = product(now 5, so many times 0.5)"),
        ("horizon#2.value", "10 = product(now 5, so many times 2)"),
        ("lives.value", "0.5 = product(now 1, so many times 0.5)"),
        ("lives#2.value", "2 = product(now 1, so many times 2)"),
    ],
)
def test_choices_are_made_again_at_half_and_double(figure: str, line: str) -> None:
    assert said(known()[f"sensitivity.choices.tried.{figure}"]) == line


def test_choices_are_made_again_without_interest() -> None:
    """Half or double of the shop's own, and none: zero is no multiple."""
    made = known(interest_a_year="0.05")
    tried = [node for name, node in made.items() if name.startswith("sensitivity.choices.tried.interest")]
    assert [said(node) for node in tried] == ["0 = given()", "0.1 = product(now 0.05, so many times 2)"]
    assert tried[0].rule == "No interest."


def test_another_choice_shows_the_cost_of_both() -> None:
    """Least to own over five years renews; over half of them the patch comes to 200.00, less than 260.00."""
    book = two_tiers(tiers=[build.a_tier("good", aim="least to own")])
    made = trees(book)
    start = "sensitivity.choices.changes"
    takes, drops = made[f"{start}.horizon.takes"], made[f"{start}.horizon.in_place_of"]
    assert (takes.value, drops.value) == (("SHORT",), ("LONG",))
    shown = [("cost over 2.5 years", "260.00"), ("cost over 2.5 years (Good, with SHORT instead)", "200.00")]
    for node in (takes, drops):
        assert [(one.figure, one.value) for one in node.inputs] == shown
        assert node.rule == "Chosen again by least to own, over 2.5 years (rules 5.7)."
    assert said(made[f"{start}.horizon.value"]) == "2.5 = product(now 5, so many times 0.5)"
    assert {name for name in made if name.startswith(start) and name.endswith("takes")} == {
        f"{start}.horizon.takes", f"{start}.lives.takes",
    }  # fmt: skip
    longer = made[f"{start}.lives.takes"]
    assert [(one.figure, one.value) for one in longer.inputs] == [
        ("cost with 2 times the lives", "260.00"),
        ("cost with 2 times the lives (Good, with SHORT instead)", "200.00"),
    ]
