"""Where the order of the tiers changes with interest, horizon and lives: by hand and against the engine everywhere."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.model.years import OrderRange
from quotekit.pricing.years_order import (
    Scene,
    Stream,
    order_at,
    range_of_horizon,
    range_of_interest,
    range_of_lives,
)


def a_scene(*streams: Stream, interest: str = "0", horizon: str = "5") -> Scene:
    return Scene(streams=streams, interest=Decimal(interest), horizon=Decimal(horizon), digits=2)


def a_stream(code: str, work: int | str, *again: tuple[str, int]) -> Stream:
    """Work now, and pairs of life and stand-alone work."""
    return Stream(
        code=code, work=Decimal(work), again=tuple((Decimal(life), Decimal(amount)) for life, amount in again)
    )


A = a_stream("A", 100, ("2", 100))
B = a_stream("B", 260)


def told(found: OrderRange) -> list[tuple[object, str, str]]:
    """Exact value, order before and after."""
    return [(change.exactly, "".join(change.before), "".join(change.after)) for change in found.changes]


def test_the_horizon_of_the_worked_example() -> None:
    """A comes to 200 up to 4 years, 300 beyond; B is 260 throughout."""
    found = range_of_horizon(a_scene(A, B))
    assert (found.low, found.high, found.least_changes) == (Decimal("2.5"), 10, True)
    assert told(found) == [(4, "AB", "BA")]
    assert (found.changes[0].below, found.changes[0].above) == (4, Decimal("4.000000000001"))


def test_the_lives_of_the_worked_example() -> None:
    """A comes round twice while 2 x 2 x factor < 5: below a factor of 5/4."""
    found = range_of_lives(a_scene(A, B))
    assert told(found) == [(Fraction(5, 4), "BA", "AB")]
    assert (found.low, found.high, found.precision) == (Decimal("0.5"), 2, 0)


def test_interest_brings_later_work_down() -> None:
    """100 + 100 / (1 + i) ** 2 + 100 / (1 + i) ** 4 = 260 where (1 + i) ** -2 is 0.86015...: at about 7.82 %."""
    found = range_of_interest(a_scene(A, B))
    assert told(found) == [(None, "BA", "AB")]
    (change,) = found.changes
    assert Decimal("0.078") < change.below < change.above < Decimal("0.0785")
    growth = (1 + change.above) ** 2
    assert (
        100 + 100 / growth + 100 / growth**2 < 260 < 100 + 100 / (1 + change.below) ** 2 + 100 / (1 + change.below) ** 4
    )


def test_interest_reaches_to_the_shops_own() -> None:
    """At 30 % in the book the range ends there, so that what is said of it holds for today too."""
    found = range_of_interest(a_scene(A, a_stream("B", 195), interest="0.3"))
    assert found.high == found.current == Decimal("0.3")
    assert told(found) == [(None, "BA", "AB")] and found.changes[0].below > Decimal("0.2")


def test_with_interest_lives_drift_between_their_turns() -> None:
    """At 20 % with a factor of 1.1: 100 + 100 / 1.2 ** 2.2 + 100 / 1.2 ** 4.4 is 212; at 0.85 it is more.

    C costs 215 once, so the order turns inside a stretch where nothing drops out (2 x 2 x factor < 5).
    """
    scene = a_scene(A, a_stream("C", 215), interest="0.2")
    found = range_of_lives(scene)
    inner = [change for change in found.changes if change.exactly is None]
    assert len(inner) == 1 and Decimal("0.85") < inner[0].below < Decimal("1.25")
    assert inner[0].above - inner[0].below <= found.precision == Decimal("0.001")


def test_a_repeat_at_exactly_double_the_lives_drops_out_there() -> None:
    """Life 2.5, horizon 5: twice as long lasts the horizon itself, and on it nothing is done again."""
    found = range_of_lives(a_scene(a_stream("A", 100, ("2.5", 100)), a_stream("B", 150)))
    assert told(found) == [(2, "BA", "AB")] or told(found)[-1][0] == 2


def test_tiers_that_cost_the_same_stand_by_work_and_then_by_the_book() -> None:
    dear, cheap = a_stream("DEAR", 200), a_stream("CHEAP", 100, ("3", 100))
    assert order_at(a_scene(dear, cheap), Decimal(0), Decimal(5)) == ("CHEAP", "DEAR")
    twins = a_scene(a_stream("X", 100), a_stream("Y", 100))
    assert order_at(twins, Decimal(0), Decimal(5)) == ("X", "Y")
    assert [one.changes for one in (range_of_horizon(twins), range_of_interest(twins), range_of_lives(twins))] == [
        (),
        (),
        (),
    ]


def test_a_third_tier_may_move_while_the_least_stays() -> None:
    found = range_of_horizon(a_scene(a_stream("LOW", 50), A, B))
    assert told(found) == [(4, "LOWAB", "LOWBA")]
    assert not found.least_changes


def test_many_repeats_are_not_worked_through() -> None:
    assert a_scene(A, B).is_small()
    assert not a_scene(a_stream("A", 1, ("0.01", 1)), B).is_small()


amounts = st.integers(1, 400).map(Decimal)
lives = st.sampled_from(["0.7", "1", "1.5", "2", "2.5", "3", "4", "6", "9"]).map(Decimal)
streams = st.builds(
    lambda work, again: (work, tuple(sorted(again.items()))), amounts, st.dictionaries(lives, amounts, max_size=3)
)
scenes = st.builds(
    lambda drawn, interest, horizon: Scene(
        streams=tuple(Stream(code=str(i), work=work, again=again) for i, (work, again) in enumerate(drawn)),
        interest=Decimal(interest),
        horizon=Decimal(horizon),
        digits=2,
    ),
    st.lists(streams, min_size=2, max_size=3),
    st.sampled_from(["0", "0.03", "0.11"]),
    st.sampled_from(["2", "3.5", "5", "8"]),
)


def order_said(found: OrderRange, value: Decimal, start: tuple[str, ...]) -> tuple[str, ...] | None:
    """The order at a value as the changes say; None inside the step to which a change is narrowed."""
    order = start
    for change in found.changes:
        if change.below < value < change.above:
            return None
        if value >= change.above:
            order = change.after
    return order


@given(scenes)
def test_horizons_everywhere(scene: Scene) -> None:
    """At each tenth of a year the engine's order is what the changes say: exact, whatever the interest."""
    found = range_of_horizon(scene)
    start = order_at(scene, scene.interest, found.low)
    for tenths in range(int(found.low * 10), int(found.high * 10) + 1):
        horizon = Decimal(tenths) / 10
        assert order_at(scene, scene.interest, horizon) == order_said(found, horizon, start)


@given(scenes)
def test_lives_everywhere_without_interest(scene: Scene) -> None:
    """At 0.5, 0.53 ... of the lives; without interest every change is exact."""
    plain = Scene(streams=scene.streams, interest=Decimal(0), horizon=scene.horizon, digits=2)
    found = range_of_lives(plain)
    assert all(change.exactly is not None for change in found.changes)
    start = order_at(plain, Decimal(0), plain.horizon, found.low)
    for step in range(51):
        factor = found.low + Decimal("0.03") * step
        assert order_at(plain, Decimal(0), plain.horizon, factor) == order_said(found, factor, start)


@settings(max_examples=25, deadline=None, derandomize=True)
@given(scenes)
def test_each_change_is_the_engines_own_on_both_sides(scene: Scene) -> None:
    """For interest and lives: another order on either side, and consecutive changes fit together."""
    for found, order in (
        (range_of_interest(scene), lambda value: order_at(scene, value, scene.horizon)),
        (range_of_lives(scene), lambda value: order_at(scene, scene.interest, scene.horizon, value)),
    ):
        last = order(found.low)
        for change in found.changes:
            assert order(change.below) == change.before == last != change.after == order(change.above)
            assert found.low <= change.below < change.above <= found.high
            last = change.after
        assert last == order(found.high)


def test_random_scenes_change_their_order() -> None:
    """The properties above would say little of orders that never change."""
    scene = a_scene(A, B, a_stream("C", 180, ("3", 90)), interest="0.03", horizon="5")
    assert range_of_horizon(scene).changes and range_of_lives(scene).changes


@pytest.mark.parametrize("interest", ["0", "0.05"])
def test_a_life_of_a_third_of_the_horizon(interest: str) -> None:
    """The turn at 5/3 has no end as a decimal: it is kept as a fraction and priced just beside."""
    scene = a_scene(a_stream("A", 100, ("3", 120)), a_stream("B", 190), interest=interest)
    exact = [change for change in range_of_lives(scene).changes if change.exactly is not None]
    assert Fraction(5, 3) in [change.exactly for change in exact]
    for change in exact:
        assert change.exactly is not None and Fraction(change.below) < change.exactly <= Fraction(change.above)
