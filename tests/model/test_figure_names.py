"""Names of figures: the key of an entry, so that a name means the same figure when rows are moved about."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.figure_names import BY_PLACE, KEYS, Leaf, entry_key, figures_of


def named(laid_out: dict[str, object]) -> dict[str, Leaf]:
    """Value by name, each name once."""
    found = [(name, value) for name, _, value in figures_of(laid_out)]
    assert len(dict(found)) == len(found)
    return dict(found)


@pytest.mark.parametrize(
    ("laid_out", "expected"),
    [
        ({"total": "5.00"}, {"total": "5.00"}),
        ({"ready_days": None}, {"ready_days": None}),
        ({"offered": True, "count": 0}, {"offered": True, "count": 0}),
        ({"hours": {"billed": {"MAIN": "1.5"}}}, {"hours.billed.MAIN": "1.5"}),
        ({"hours": {}}, {}),
        ({"left": []}, {"left": ()}),
        ({"left": ["A", "B@left"]}, {"left": ("A", "B@left"), "left.A": "A", "left.B@left": "B@left"}),
        ({"parts": [{"part": "SEAL", "packs": 1}]}, {"parts.SEAL.part": "SEAL", "parts.SEAL.packs": 1}),
        ({"taxes": [{"tax": "State", "code": "X"}]}, {"taxes.State.tax": "State", "taxes.State.code": "X"}),
        ({"odd": [{"why": "x"}, {"why": "y"}]}, {"odd.0.why": "x", "odd.1.why": "y"}),
        (
            {"items": [{"remedy": "NEW", "side": "left", "price": "1"}, {"remedy": "NEW", "side": None, "price": "2"}]},
            {
                "items.NEW@left.remedy": "NEW", "items.NEW@left.side": "left", "items.NEW@left.price": "1",
                "items.NEW.remedy": "NEW", "items.NEW.side": None, "items.NEW.price": "2",
            },
        ),
        ({"by_year": ["1.00", "1.00"]}, {"by_year": ("1.00", "1.00"), "by_year.0": "1.00", "by_year.1": "1.00"}),
        ({"years": [5, 10]}, {"years.0": 5, "years.1": 10}),
    ],
    ids=["a number", "null", "yes and zero", "inside", "nothing inside", "an empty list", "texts", "by code",
         "the first key that it has", "no key: its place", "with its side", "numbers by place", "of a list in years"],
)  # fmt: skip
def test_names(laid_out: dict[str, object], expected: dict[str, Leaf]) -> None:
    assert named(laid_out) == expected


def test_a_second_entry_of_one_key_has_a_number_and_a_third() -> None:
    """A machine may need one part twice at different prices: neither may hide the other."""
    parts = [{"part": "SEAL", "amount": amount} for amount in ("1", "2", "3")]
    amounts = {name: value for name, value in named({"parts": parts}).items() if name.endswith("amount")}
    assert amounts == {"parts.SEAL.amount": "1", "parts.SEAL#2.amount": "2", "parts.SEAL#3.amount": "3"}


def test_places_count_from_zero_and_know_no_key() -> None:
    """The place is what a program reads the value with; the name is what stays when rows move."""
    laid_out = {"parts": [{"part": "SEAL", "uses": ["A"]}, {"part": "BELT", "uses": []}]}
    assert {name: place for name, place, _ in figures_of(laid_out)} == {
        "parts.SEAL.part": "parts[0].part",
        "parts.SEAL.uses": "parts[0].uses",
        "parts.SEAL.uses.A": "parts[0].uses[0]",
        "parts.BELT.part": "parts[1].part",
        "parts.BELT.uses": "parts[1].uses",
    }


@pytest.mark.parametrize("value", [1.5, {1}, object()])
def test_what_no_json_of_ours_holds_is_an_error_of_ours(value: object) -> None:
    """A number with a point in binary would be a wrong amount."""
    with pytest.raises(TypeError, match=r"total: .* is no value of the JSON"):
        named({"total": value})


@pytest.mark.parametrize(
    ("entry", "key"),
    [
        ("A@left", "A@left"),
        ({"part": "SEAL", "code": "X"}, "SEAL"),
        ({"code": "X", "side": "right"}, "X@right"),
        ({"part": None, "code": "X"}, "X"),
        ({"part": 7, "code": "X"}, "X"),
        ({"side": "right"}, "3"),
        ({"code": "X", "side": 2}, "X"),
        (["a"], "3"),
        (5, "3"),
    ],
)
def test_the_key_of_an_entry(entry: object, key: str) -> None:
    assert entry_key(entry, 3) == key


@given(codes=st.lists(st.sampled_from(["A", "B", "C", "D"]), unique=True), data=st.data())
def test_moving_rows_moves_no_name(codes: list[str], data: st.DataObject) -> None:
    """What is compared between two quotes is the same figure, wherever its row went."""
    entries = [{data.draw(st.sampled_from(KEYS)): code, "amount": code * 2} for code in codes]
    moved = data.draw(st.permutations(entries))
    assert named({"list": entries} if entries else {}) == named({"list": moved} if moved else {})


def test_lists_by_place_hold_no_keys() -> None:
    """A year's amount twice is two years, not a second entry of one."""
    for key in BY_PLACE:
        assert [name for name, _, _ in figures_of({key: ["7", "7"]})] == [key, f"{key}.0", f"{key}.1"]
