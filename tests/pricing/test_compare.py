"""Causes by hand: which cells moved a figure, how much goes with each, and what they bring only together."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.comparison import ChangedCell, Figure, FigureName, Figures
from quotekit.pricing.compare import Tries, causes_of, figures_that_moved, names_cell, paths_to
from quotekit.problems import Place

TOTAL, ITEMS = FigureName("117", "good", "total"), FigureName("117", "good", "items")


def cell(address: str, extent: str = "cell") -> ChangedCell:
    place = Place("book.xlsx", "Parts", address)
    return ChangedCell(what=address, old="1", new="2", place_old=place, place_new=place, extent=extent)  # type: ignore[arg-type]


A, B, C = cell("A1"), cell("B1"), cell("C1")
CELLS = (A, B, C)


def figures(total: int | str, items: str = "BELT") -> Figures:
    return {TOTAL: Figure(text=str(total), number=Decimal(total)), ITEMS: Figure(text=items)}


def tries(price: Callable[[bool, bool, bool], Figures | None], named: str = "ABC", most: int = 100) -> Tries:
    """Tries of a price that hangs on three cells: each True is the cell as it is now."""

    def mixed(one: ChangedCell, others: bool) -> Figures | None:
        return price(*(others if each is not one else not others for each in CELLS))

    return Tries(
        names=lambda name, each: each.what[0] in named,
        without=lambda each: mixed(each, True),
        alone=lambda each: mixed(each, False),
        most=most,
    )


def causes(price: Callable[[bool, bool, bool], Figures], **given: object) -> Mapping[FigureName, object]:
    found = causes_of(price(False, False, False), price(True, True, True), CELLS, tries(price, **given))  # type: ignore[arg-type]
    return {one.name: one for one in found}


def summary(price: Callable[[bool, bool, bool], Figures], **given: object) -> tuple[object, ...]:
    one = causes(price, **given)[TOTAL]
    because = "".join(each.what[0] for each in one.because)  # type: ignore[attr-defined]
    shares = [None if share is None else int(share) for share in one.alone.values()]  # type: ignore[attr-defined]
    return int(one.difference), because, shares, int(one.together)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("price", "expected"),
    [
        pytest.param(lambda a, b, c: figures(100 + 7 * a), (7, "A", [7], 0), id="one cell takes all of it"),
        pytest.param(lambda a, b, c: figures(100 + 7 * a - 2 * b), (5, "AB", [7, -2], 0), id="two that add up"),
        pytest.param(
            lambda a, b, c: figures((90 + 10 * a) * (1 + b)), (110, "AB", [20, 100], -10), id="rate times hours"
        ),
        pytest.param(
            lambda a, b, c: figures(max(100, 110 * a, 110 * b)), (10, "AB", [0, 0], 10), id="each would do it alone"
        ),
        pytest.param(
            lambda a, b, c: figures(100 + (20 if a and b else 0)), (20, "AB", [20, 20], -20), id="both are needed"
        ),
        pytest.param(
            lambda a, b, c: figures(100 + 5 * c + (20 if a or b else 0)),
            (25, "ABC", [0, 0, 5], 20),
            id="a third by itself",
        ),
    ],
)
def test_how_much_goes_with_each_cell(
    price: Callable[[bool, bool, bool], Figures], expected: tuple[object, ...]
) -> None:
    """A cell that only matters with another is told through the other way round: it alone as it is now."""
    assert summary(price) == expected


def test_where_three_are_needed_all_that_are_named_are_told() -> None:
    """Two of three do it: no one cell moves the figure, put back or alone."""
    assert summary(lambda a, b, c: figures(120 if a + b + c >= 2 else 100)) == (20, "ABC", [0, 0, 0], 20)


def test_only_cells_that_the_explanation_names_are_tried() -> None:
    asked: list[str] = []

    def price(a: bool, b: bool, c: bool) -> Figures:
        asked.append(f"{a:d}{b:d}{c:d}")
        return figures(100 + 7 * a)

    assert summary(price, named="A") == (7, "A", [7], 0)
    assert sorted(set(asked)) == ["000", "011", "111"]


def test_a_figure_whose_explanation_names_no_cell_gets_those_that_move_it() -> None:
    assert summary(lambda a, b, c: figures(100 + 7 * b), named="") == (7, "B", [7], 0)


def test_no_more_are_tried_than_allowed_and_all_are_named_then() -> None:
    """The second cell was not tried: what it brings stands in what is left over."""
    assert summary(lambda a, b, c: figures(100 + 7 * a + 5 * b), most=1) == (12, "A", [7], 5)
    assert summary(lambda a, b, c: figures(100 + 5 * b), most=1) == (5, "ABC", [0], 5)


def test_a_cell_that_cannot_stand_by_itself_has_no_share() -> None:
    """Two ends of two bands: either alone leaves a gap, so nothing can be priced with one of them."""

    def price(a: bool, b: bool, c: bool) -> Figures | None:
        return None if a != b else figures(110 if a else 100)

    old, new = figures(100), figures(110)
    (moved,) = causes_of(old, new, CELLS, tries(price, named="AB"))
    assert [one.what for one in moved.because] == ["A1", "B1"]
    assert (dict(moved.alone), moved.together) == ({A.place: None, B.place: None}, Decimal(10))


def test_words_that_changed_have_causes_and_no_difference() -> None:
    """Another remedy is taken: the cell that turns the choice is told, by itself it explains all of it."""
    moved = causes(lambda a, b, c: figures(100, "CHAIN" if b else "BELT"))[ITEMS]
    assert (moved.old, moved.new, moved.difference, moved.together) == ("BELT", "CHAIN", None, None)  # type: ignore[attr-defined]
    assert ([one.what for one in moved.because], dict(moved.alone)) == (["B1"], {B.place: None})  # type: ignore[attr-defined]


def test_figures_that_come_and_go() -> None:
    """A part that is no longer used has no amount: nothing is said to be zero."""
    moved = figures_that_moved({TOTAL: Figure(text="5.00", number=Decimal("5.00"))}, {ITEMS: Figure(text="BELT")})
    assert [(one.name, one.old, one.new, one.difference) for one in moved] == [
        (TOTAL, "5.00", None, None),
        (ITEMS, None, "BELT", None),
    ]


@pytest.mark.parametrize(
    ("old", "new", "order"),
    [
        (("good", "better", "best"), ("good", "better", "best"), ["good", "better", "best"]),
        (("good", "best"), ("good", "better", "best"), ["good", "better", "best"]),
        (("good", "better", "best"), ("good", "best"), ["good", "best", "better"]),
        (("best", "good"), ("good", "best"), ["good", "best"]),
        ((), ("good", "best"), ["good", "best"]),
    ],
    ids=["as they were", "one came between", "one went", "in another order", "all new"],
)
def test_options_stand_in_the_order_they_have_now(old: tuple[str, ...], new: tuple[str, ...], order: list[str]) -> None:
    """What the book lists today is what its owner has before the eyes; an option that went comes last."""

    def of(tiers: tuple[str, ...], text: str) -> Figures:
        return {FigureName("117", tier, "total"): Figure(text=text) for tier in tiers}

    assert [one.name.tier for one in figures_that_moved(of(old, "a"), of(new, "b"))] == order


@pytest.mark.parametrize(
    ("old", "new", "moved"), [("5.0", "5.00", False), ("5.00", "5.01", True), ("A; B", "A; B", False), ("A", "B", True)]
)
def test_numbers_are_compared_as_numbers(old: str, new: str, *, moved: bool) -> None:
    def one(text: str) -> Figures:
        return {TOTAL: Figure(text=text, number=Decimal(text) if text[0] == "5" else None)}

    assert bool(figures_that_moved(one(old), one(new))) is moved


def test_nothing_is_priced_when_nothing_moved() -> None:
    def never(*_: object) -> None:
        raise AssertionError

    assert causes_of(figures(1), figures(1), CELLS, tries(never)) == []


@pytest.mark.parametrize(
    ("named", "changed", "found"),
    [
        (Place("book.xlsx", "Parts", "D7"), cell("D7"), True),
        (Place("book.xlsx", "Parts", "D7"), cell("E7"), False),
        (Place("book.xlsx", "Parts", ""), cell("E7"), True),
        (Place("book.xlsx", "Parts", "D7"), cell("A7", "row"), True),
        (Place("book.xlsx", "Parts", "D17"), cell("A7", "row"), False),
        (Place("book.xlsx", "Parts", "AB7"), cell("A7", "row"), True),
        (Place("book.xlsx", "Tiers", "D7"), cell("", "sheet"), False),
        (Place("book.xlsx", "Parts", "D7"), cell("", "sheet"), True),
        (Place("other.xlsx", "Parts", "D7"), cell("D7"), False),
    ],
)
def test_a_row_stands_for_its_cells_and_an_order_for_the_sheet(
    named: Place, changed: ChangedCell, *, found: bool
) -> None:
    assert names_cell(frozenset({named}), changed, old=False) is found


def test_a_row_that_came_is_in_the_new_workbook_only() -> None:
    place = Place("book.xlsx", "Parts", "A7")
    row = ChangedCell(what="row", old=None, new="row", place_old=None, place_new=place, extent="row")
    assert names_cell(frozenset({place}), row, old=False) and not names_cell(frozenset({place}), row, old=True)


def test_a_figure_is_part_of_what_it_is_named_under() -> None:
    assert list(paths_to("parts.SEAL-19.amount")) == ["parts.SEAL-19.amount", "parts.SEAL-19", "parts"]
    assert list(paths_to("total#2")) == ["total"]


OTHER = FigureName("117", "good", "other")


def two(total: int, other: int) -> Figures:
    return {name: Figure(text=str(value), number=Decimal(value)) for name, value in ((TOTAL, total), (OTHER, other))}


def by_letter(found: list[object]) -> dict[str, str]:
    """The letters of the cells behind each figure."""
    return {one.name.figure: "".join(each.what[0] for each in one.because) for one in found}  # type: ignore[attr-defined]


def test_each_figure_has_the_causes_that_its_own_explanation_names() -> None:
    """A dearer part is no cause of dearer labour, even where both moved together."""

    def price(a: bool, b: bool, c: bool) -> Figures:
        return two(100 + 7 * a, 50 + 3 * b)

    asked = Tries(
        names=lambda name, each: each.what[0] == ("A" if name == TOTAL else "B"),
        without=tries(price).without,
        alone=tries(price).alone,
    )
    found = causes_of(price(False, False, False), price(True, True, True), CELLS, asked)
    assert by_letter(list(found)) == {"total": "A", "other": "B"}


def test_where_only_some_cells_can_be_named_the_others_are_not_looked_at() -> None:
    """A price list of thousands of rows: asking each figure about each cell would take minutes."""
    looked: list[str] = []

    def named(name: FigureName, each: ChangedCell) -> bool:
        looked.append(each.what[0])
        return True

    price = tries(lambda a, b, c: figures(100 + 7 * a + 5 * b))
    few = Tries(names=named, without=price.without, alone=price.alone, candidates=lambda name: [B])
    (moved,) = causes_of(figures(100), figures(112), CELLS, few)
    assert ([each.what for each in moved.because], moved.together, set(looked)) == (["B1"], Decimal(7), {"B"})


def test_cells_that_together_bring_it_leave_out_a_named_one_that_brings_nothing() -> None:
    """The third cell is named and moves nothing: with 7 of 7 accounted for it is no cause, and is not tried again."""
    again: list[str] = []

    def alone(each: ChangedCell) -> Figures | None:
        again.append(each.what)
        return None

    price = tries(lambda a, b, c: figures(100 + 7 * a))
    found = causes_of(figures(100), figures(107), CELLS, Tries(names=price.names, without=price.without, alone=alone))
    assert (by_letter(list(found)), again) == ({"total": "A"}, [])


def test_effects_that_cancel_are_tried_the_other_way_too() -> None:
    """A: +7 and B: -7 with both, +7 and 0 alone; nothing is left over only where a cell moves the figure."""

    def price(a: bool, b: bool, c: bool) -> Figures:
        return figures(100 + (5 if a != b else 0) + 3 * c)

    assert summary(price) == (3, "ABC", [-5, -5, 3], 10)


def test_a_number_that_became_a_word_has_no_difference_and_causes_without_shares() -> None:
    """Ready days that became unknown: how much of that went with a cell can't be a number."""

    def price(a: bool, b: bool, c: bool) -> Figures:
        return {TOTAL: Figure(text=None) if a else Figure(text="5", number=Decimal(5))}

    (moved,) = causes_of(price(False, False, False), price(True, True, True), CELLS, tries(price))
    assert (moved.old, moved.new, moved.difference, moved.together) == ("5", None, None, None)
    assert (by_letter([moved]), dict(moved.alone)) == ({"total": "A"}, {A.place: None})


def test_a_figure_that_comes_with_a_cell_has_that_cell_as_its_cause() -> None:
    """A part that is used only now: put the cell back, and its amount is gone, which is no zero."""

    def price(a: bool, b: bool, c: bool) -> Figures:
        return figures(9) if b else {}

    moved = {one.name: one for one in causes_of({}, figures(9), CELLS, tries(price))}
    assert by_letter(list(moved.values())) == {"total": "B", "items": "B"}
    assert (moved[TOTAL].difference, dict(moved[TOTAL].alone)) == (None, {B.place: None})


@given(
    effects=st.tuples(*[st.integers(-9, 9)] * 3),
    joint=st.integers(-9, 9),
    named=st.sampled_from(["ABC", "AB", "C", ""]),
)
def test_shares_and_what_is_left_over_always_add_up_to_the_difference(
    effects: tuple[int, int, int], joint: int, named: str
) -> None:
    """Whatever the cells do alone or together; and a figure that moved is never without a cause."""

    def price(a: bool, b: bool, c: bool) -> Figures:
        on = (a, b, c)
        return figures(100 + sum(effect for effect, yes in zip(effects, on, strict=True) if yes) + joint * (a and b))

    found = causes_of(price(False, False, False), price(True, True, True), CELLS, tries(price, named=named))
    for one in found:
        assert one.because and one.difference is not None and one.together is not None
        shares = sum((share for share in one.alone.values() if share is not None), Decimal(0))
        assert shares + one.together == one.difference
        assert set(one.alone) <= {each.place for each in one.because}
