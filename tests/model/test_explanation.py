"""Trees of figures as records, and the names of the figures of a JSON."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.explanation import Condition, Explanation, all_cells, cells_of_tree, in_order, nodes, number_text
from quotekit.model.figure_names import figures_of
from quotekit.problems import Place


def a_node(figure: str, *inputs: Explanation, cells: str = "") -> Explanation:
    """A node that reads cells of one sheet."""
    places = tuple(Place("b.xlsx", "Parts", cell) for cell in cells.split())
    return Explanation(figure=figure, value="1", rule="A rule.", inputs=inputs, cells=places)


def test_a_node_used_twice_is_walked_once() -> None:
    """Trees share what several figures are made of; a walk that forgot that would take for ever."""
    shared = a_node("shared", cells="A1")
    for _ in range(40):
        shared = a_node("pair", shared, shared)
    assert len(list(nodes(shared))) == 41


def test_cells_of_a_figure_are_those_of_tree_and_conditions_each_once_in_reading_order() -> None:
    below = a_node("below", cells="B10 B9")
    tree = Explanation(
        figure="f",
        value="1",
        rule="A rule.",
        inputs=(below, below),
        cells=(Place("b.xlsx", "Parts", "AA1"),),
        conditions=(Condition(why="why", cells=(Place("a.xlsx", "Job", "B2"), Place("b.xlsx", "Parts", "B9"))),),
    )
    assert [str(place) for place in all_cells(tree)] == [
        "a.xlsx:Job!B2", "b.xlsx:Parts!B9", "b.xlsx:Parts!B10", "b.xlsx:Parts!AA1",
    ]  # fmt: skip
    assert len(cells_of_tree(tree)) == 3


def test_order_needs_no_cell() -> None:
    """A whole file or sheet is a place too."""
    assert in_order([Place("b.xlsx", "Parts"), Place("b.xlsx")]) == (Place("b.xlsx"), Place("b.xlsx", "Parts"))


@given(st.integers(-(10**9), 10**9), st.integers(1, 10**6))
def test_a_number_reads_back_exactly(numerator: int, denominator: int) -> None:
    """As a decimal where it ends, else as a fraction: nothing is lost on the way to a reader."""
    exact = Fraction(numerator, denominator)
    assert Fraction(number_text(exact)) == exact


@pytest.mark.parametrize(
    ("number", "text"),
    [(Decimal("2.60"), "2.6"), (Decimal("1E+2"), "100"), (Decimal("-0"), "0"), (Fraction(1, 8), "0.125"), (7, "7")],
)
def test_a_number_is_written_plainly(number: Decimal | Fraction | int, text: str) -> None:
    assert number_text(number) == text


def test_a_number_of_thousands_of_digits_is_written_to_fifty_of_them() -> None:
    """A hundred repeats at interest make a fraction that Python refuses to write in full."""
    for number in (Fraction(1, 3**4000), Fraction(7**900, 3**5000), Fraction(-1, 2**9000), Fraction(10**4000 + 1, 3)):
        assert abs(Fraction(number_text(number)) - number) <= abs(number) / 10**49


TIER = {
    "code": "good",
    "offered": True,
    "reason": None,
    "items": ["A@left", "7"],
    "hours": {"billed": {"MAIN": "1.5"}},
    "parts": [{"part": "SEAL.5", "packs": 1}],
    "bundles": [],
    "taxes": [{"tax": "State", "base": "1.00"}],
    "extras": [{"extra": "X", "price": "1.00", "tax": "0.10"}, {"extra": "X", "price": "2.00", "tax": "0.20"}],
    "over_years": {"by_year": ["1.00", "1.00"]},
    "not_permitted": [{"remedy": "R", "side": "left", "why": "w"}],
}


def test_names_are_paths_with_keys_and_values_are_the_leaves() -> None:
    """Text keys where there are some, places for plain numbers, a mark for a second entry of one key."""
    found = {name: (place, value) for name, place, value in figures_of(TIER)}
    assert found["offered"] == ("offered", True)
    assert found["reason"] == ("reason", None)
    assert found["items"] == ("items", ("A@left", "7"))
    assert found["items.7"] == ("items[1]", "7")
    assert found["hours.billed.MAIN"][1] == "1.5"
    assert found["parts.SEAL.5.packs"] == ("parts[0].packs", 1)
    assert found["bundles"] == ("bundles", ())
    assert found["extras.X.tax"][1] == "0.10"
    assert found["extras.X#2.price"] == ("extras[1].price", "2.00")
    assert found["over_years.by_year.1"] == ("over_years.by_year[1]", "1.00")
    assert found["not_permitted.R@left.why"][1] == "w"
    names = [name for name, _, _ in figures_of(TIER)]
    assert len(names) == len(set(names))


def test_a_value_that_is_no_json_is_refused() -> None:
    with pytest.raises(TypeError, match="total: Decimal"):
        list(figures_of({"total": Decimal(1)}))
