"""What a tier aims at, and how ties are broken (DESIGN.md 5.7), by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.shop_book import Operation, Remedy, ShopBook
from quotekit.pricing.aims import keep_longest, life_value, reachable_life, unstated_life
from quotekit.pricing.covers import Cover, Group
from tests import build
from tests.pricing.priced import first_tier, items_named, keys_of, price


def shop(aim: str, remedies: list[Remedy], operations: list[Operation] | None = None, **values: Any) -> ShopBook:
    """One tier with an aim; operations of 0.5, 0.6 and one hour."""
    named: dict[str, Any] = {
        "operations": operations
        or [build.an_operation("HALF", "0.5"), build.an_operation("SIX", "0.6"), build.an_operation("HOUR", 1)],
        "findings": [build.a_finding(code) for code in "ABC"],
        "remedies": remedies,
        "tiers": [build.a_tier("good", aim=aim)],
    }
    return build.a_book(**(named | values))


def chosen(book: ShopBook, codes: str = "A", **job: Any) -> list[str]:
    return keys_of(first_tier(book, *(build.a_finding_on(code) for code in codes), **job))


PATCH = build.a_remedy("PATCH", ["A"], ["HALF"], life_years=1)
SLEEVE = build.a_remedy("SLEEVE", ["A"], ["SIX"], life_years=2)
NEW = build.a_remedy("NEW", ["A"], ["HOUR"], life_years=9)


@pytest.mark.parametrize(
    ("aim", "taken"), [("lowest price", "PATCH"), ("least to own", "NEW"), ("longest life", "NEW")]
)
def test_each_aim_takes_another(aim: str, taken: str) -> None:
    """50 now, or 5 x 50 = 250 over five years; 60 now, 180 in all; 100 once."""
    assert chosen(shop(aim, [PATCH, SLEEVE, NEW])) == [taken]


@pytest.mark.parametrize(("years", "taken"), [(1, "PATCH"), ("1.5", "SLEEVE"), (2, "SLEEVE"), (3, "NEW"), (5, "NEW")])
def test_the_horizon_decides_what_costs_least_to_own(years: Any, taken: str) -> None:
    """1 year: 50, 60, 100. 1.5 and 2: 100, 60, 100. 3: 150, 120, 100."""
    assert chosen(shop("least to own", [PATCH, SLEEVE, NEW]), years_to_compare=years) == [taken]


def test_lives_beyond_the_horizon_are_equal_and_the_cheaper_wins() -> None:
    """Five years are compared: 6 and 9 years last no less than the horizon."""
    six = build.a_remedy("SIX-YEARS", ["A"], ["SIX"], life_years=6)
    assert chosen(shop("longest life", [PATCH, six, NEW])) == ["SIX-YEARS"]


def test_the_largest_shortest_life_comes_first_then_the_sum() -> None:
    """A lasts 2 at most; for B the sum decides: 4 before 3."""
    remedies = [
        build.a_remedy("A1", ["A"], ["HALF"], life_years=1),
        build.a_remedy("A2", ["A"], ["SIX"], life_years=2),
        build.a_remedy("B3", ["B"], ["HALF"], life_years=3),
        build.a_remedy("B4", ["B"], ["HOUR"], life_years=4),
    ]
    assert chosen(shop("longest life", remedies), "AB") == ["A2", "B4"]


def test_a_short_shortest_life_is_not_made_up_for_by_the_sum() -> None:
    """BOTH: 2 and 2. Apart: 1 and 5, a larger sum of 6, a smaller shortest of 1."""
    remedies = [
        build.a_remedy("BOTH", ["A", "B"], ["HOUR"], life_years=2),
        build.a_remedy("A1", ["A"], ["HALF"], life_years=1),
        build.a_remedy("B5", ["B"], ["SIX"], life_years=5),
    ]
    assert chosen(shop("longest life", remedies), "AB") == ["BOTH"]


def test_shared_work_makes_a_dearer_remedy_the_cheaper_choice() -> None:
    """For B alone 0.5 hours cost less than 0.6, but SIX is done for A anyway."""
    remedies = [
        build.a_remedy("A6", ["A"], ["SIX"]),
        build.a_remedy("B5", ["B"], ["HALF"]),
        build.a_remedy("B6", ["B"], ["SIX"]),
    ]
    assert chosen(shop("lowest price", remedies), "AB") == ["A6", "B6"]
    assert chosen(shop("lowest price", remedies), "B") == ["B5"]


def test_ties_go_to_fewer_operations() -> None:
    """0.6 in one operation, or 0.5 and 0.1 in two."""
    operations = [
        build.an_operation("SIX", "0.6"),
        build.an_operation("HALF", "0.5"),
        build.an_operation("TENTH", "0.1"),
    ]
    remedies = [build.a_remedy("A-TWO", ["A"], ["HALF", "TENTH"]), build.a_remedy("Z-ONE", ["A"], ["SIX"])]
    assert chosen(shop("lowest price", remedies, operations)) == ["Z-ONE"]


def test_then_to_the_codes_in_text_order() -> None:
    remedies = [build.a_remedy("Z", ["A"], ["HALF"]), build.a_remedy("B", ["A"], ["HALF"])]
    assert chosen(shop("lowest price", remedies)) == ["B"]


def test_over_years_less_work_in_money_breaks_the_tie() -> None:
    """Both cost 100 over two years: 50 and 50 again, or 100 once."""
    book = shop("least to own", [PATCH, NEW])
    assert chosen(book, years_to_compare=2) == ["PATCH"]


def test_the_horizon_cost_is_compared_as_rounded() -> None:
    """In yen at 1 an hour, interest 400 %: 1 + 1/5 and 1 are both 1, so work and then codes decide."""
    book = shop(
        "least to own",
        [build.a_remedy("A", ["A"], ["HOUR"], life_years=1), build.a_remedy("B", ["A"], ["HOUR"], life_years=9)],
        settings=build.settings(currency="JPY", interest_a_year=4),
        labour_rates=[build.a_rate(rate=1)],
    )
    assert chosen(book, years_to_compare=2) == ["A"]


def test_inside_the_minimum_work_costs_the_same() -> None:
    """With a minimum of one hour all three cost 100: fewer operations, then NEW before PATCH in text order."""
    book = shop("lowest price", [PATCH, SLEEVE, NEW], settings=build.settings(minimum_labour_hours=1))
    assert chosen(book) == ["NEW"]


def test_nothing_covered_lasts_the_horizon() -> None:
    assert life_value([], frozenset(), Decimal(5)) == (Decimal(5), Decimal(0))


def covers_of(book: ShopBook, *sets: str) -> tuple[Cover, ...]:
    """Covers of these keys, each with all the findings its items fix."""
    job = build.a_job(*(build.a_finding_on(code) for code in "ABC"))
    setup = price(book, job=job).setup
    items = {item.key: item for item in items_named(setup, {key for keys in sets for key in keys.split()})}
    picked = [tuple(items[key] for key in keys.split()) for keys in sets]
    return tuple(Cover(items=one, covered=frozenset().union(*(item.fixes for item in one))) for one in picked)


BLANK = build.a_remedy("BLANK", ["A"], ["HALF"], life_years=None)


@pytest.mark.parametrize(
    ("aim", "sets", "named"),
    [
        ("lowest price", ("BLANK", "NEW"), None),
        ("least to own", ("BLANK", "NEW"), "BLANK"),
        ("longest life", ("NEW", "BLANK"), "BLANK"),
        ("longest life", ("BLANK",), None),
        ("longest life", ("BLANK NEW", "BLANK PATCH"), None),
        ("longest life", ("NEW", "PATCH"), None),
    ],
)
def test_a_blank_life_matters_only_where_there_is_a_choice(aim: Any, sets: tuple[str, ...], named: str | None) -> None:
    """In some of the choices and not in all."""
    book = shop("lowest price", [BLANK, NEW, PATCH])
    item = unstated_life(aim, [Group(members=(), covers=covers_of(book, *sets))])
    assert (item.key if item else None) == named


def test_only_the_longest_can_win() -> None:
    """A reaches 2 at most, so the whole lasts no longer: of B's choices those of at least 2 with the best sum."""
    remedies = [
        build.a_remedy("A1", ["A"], ["HALF"], life_years=1),
        build.a_remedy("A2", ["A"], ["HALF"], life_years=2),
        build.a_remedy("B1", ["B"], ["HALF"], life_years=1),
        build.a_remedy("B4", ["B"], ["HALF"], life_years=4),
        build.a_remedy("B44", ["B"], ["SIX"], life_years=4),
    ]
    book = shop("longest life", remedies)
    groups = [
        Group(members=(), covers=covers_of(book, "A1", "A2")),
        Group(members=(), covers=covers_of(book, "B1", "B4", "B44")),
    ]
    kept = keep_longest(groups, frozenset(), Decimal(5), reachable_life(groups, frozenset(), Decimal(5)))
    assert [[cover.codes for cover in covers] for covers in kept] == [[("A2",)], [("B4",), ("B44",)]]
