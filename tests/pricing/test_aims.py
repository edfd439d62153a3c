"""What a tier aims at: the value that is made least, ties after it (DESIGN.md 5.7)."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

import pytest

from quotekit.model.shop_book import Aim
from quotekit.pricing.aims import Value, keep_longest, life_value, unstated_life, value_of
from quotekit.pricing.covers import Cover, Group
from quotekit.pricing.items import Item
from quotekit.pricing.setup import Setup, set_up
from tests import build

HORIZON = Decimal(5)


def a_setup(**lives: str | None) -> Setup:
    """A remedy per name that fixes the finding of its name without the last letter: A1 and A2 fix A.

    Each takes an hour of its own at 100.
    """
    findings = sorted({name[:-1] for name in lives})
    book = build.a_book(
        operations=[build.an_operation(f"WORK-{name}", 1) for name in lives],
        findings=[build.a_finding(code) for code in findings],
        remedies=[build.a_remedy(name, [name[:-1]], [f"WORK-{name}"], life_years=life) for name, life in lives.items()],
    )
    return set_up(book, build.a_job(*(build.a_finding_on(code) for code in findings)))


def items_of(setup: Setup, names: str) -> tuple[Item, ...]:
    """Remedies by name: `A1 B2`."""
    return tuple(setup.candidates.items[name] for name in names.split())


def a_group(setup: Setup, *sets: str) -> Group:
    """A group whose choices are these sets of remedies."""
    items = [items_of(setup, names) for names in sets]
    return Group(covers=tuple(Cover(items=of, covered=frozenset().union(*(item.fixes for item in of))) for of in items))


@pytest.mark.parametrize(
    ("names", "covered", "shortest", "together"),
    [
        ("A1 B1", "A B", "2", "5"),
        ("A1 B2", "A B", "2", "7"),
        ("A1 B2", "B", "5", "5"),
        ("A1", "A B", "2", "2"),
        ("", "A", "5", "0"),
    ],
)
def test_the_lives_of_a_choice(names: str, covered: str, shortest: str, together: str) -> None:
    """At most the horizon each; a covered finding that is left does not count."""
    setup = a_setup(A1="2", B1="3", B2="8")
    lives = life_value(items_of(setup, names), frozenset(covered.split()), HORIZON)
    assert lives == (Decimal(shortest), Decimal(together))


@pytest.mark.parametrize(
    ("aim", "first"),
    [
        ("lowest price", (Decimal("100.00"), 1, ("A1",))),
        ("least to own", (Decimal("300.00"), Decimal("100.00"), 1, ("A1",))),
        ("longest life", (Decimal(-2), Decimal(-2), Decimal("100.00"), 1, ("A1",))),
    ],
)
def test_the_value_of_a_choice(aim: Aim, first: Value) -> None:
    """The aim, then work in money, then how many operations, then codes."""
    setup = a_setup(A1="2")
    chosen = items_of(setup, "A1")
    assert value_of(setup, aim, chosen, frozenset("A"), setup.price(chosen)) == first


@pytest.mark.parametrize(
    ("aim", "sets", "named"),
    [
        ("least to own", ["A1", "A2"], "A2"),
        ("longest life", ["A1", "A2"], "A2"),
        ("lowest price", ["A1", "A2"], None),
        ("longest life", ["A2"], None),
        ("longest life", ["A2 B1", "A2 B2"], None),
        ("longest life", ["A1", "A3"], None),
    ],
)
def test_a_life_that_is_blank_stops_a_choice_over_years(aim: Aim, sets: Sequence[str], named: str | None) -> None:
    """A2 has no life: it can't be chosen or refused over years; where it is taken anyway, nothing hangs on it."""
    setup = a_setup(A1="2", A2=None, A3="4", B1="1", B2="9")
    blank = unstated_life(aim, [a_group(setup, *sets)])
    assert (blank.key if blank else None) == named


@pytest.mark.parametrize(
    ("groups", "kept"),
    [
        ([["A1", "A2"]], [["A2"]]),
        ([["A2", "A3"]], [["A2", "A3"]]),
        ([["A1"], ["B1", "B2", "B3"]], [["A1"], ["B3"]]),
        ([["A1", "A2"], ["B1"]], [["A2"], ["B1"]]),
        ([["A1 B3", "A2 B1"]], [["A2 B1"]]),
        ([["A1 B2", "A1 B3"]], [["A1 B3"]]),
    ],
)
def test_only_covers_that_can_be_longest_are_kept(groups: list[list[str]], kept: list[list[str]]) -> None:
    """The shortest life first, then the sum: with A1 nothing beats 2 years, yet B3 still adds most."""
    setup = a_setup(A1="2", A2="4", A3="4", B1="3", B2="4", B3="5")
    found = keep_longest([a_group(setup, *sets) for sets in groups], HORIZON)
    assert [[" ".join(cover.codes) for cover in covers] for covers in found] == kept
