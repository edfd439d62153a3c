"""Which row is which (shop policy): by what it is about, all of it first, then less; never by where it stands."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.shop_book import Quantity
from quotekit.model.source import Source
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.row_pairs import identities, in_old_order, pair_rows, same_form
from quotekit.workbook.rows import Row, field_of


def sheet(name: str, *, of_job: bool = False) -> SheetColumns:
    return next(one for one in (JOB_WORKBOOK if of_job else SHOP_BOOK) if one.name == name)


def rows(*values: dict[str, Any]) -> list[Row]:
    return [Row(source=Source(sheet="X", row=number), values=one) for number, one in enumerate(values, start=2)]


def paired(
    declared: SheetColumns, old: list[Row], new: list[Row]
) -> tuple[list[tuple[int, int]], list[int], list[int]]:
    """Rows that are the same by their places in old and new, those that came, those that went."""
    pairs = pair_rows(declared, old, new)
    place = {id(row): at for rows in (old, new) for at, row in enumerate(rows)}
    return (
        [(place[id(before)], place[id(after)]) for before, after in pairs.same],
        [place[id(row)] for row in pairs.added],
        [place[id(row)] for row in pairs.removed],
    )


FIRST, LATER = date(2026, 1, 1), date(2026, 7, 1)

CASES = {
    "a code in other letters": ("Parts", [{"code": "SEAL"}], [{"code": "Seal"}], ([(0, 0)], [], [])),
    "another code": ("Parts", [{"code": "SEAL"}], [{"code": "SEAL-2"}], ([], [0], [0])),
    "moved": ("Parts", [{"code": "A"}, {"code": "B"}], [{"code": "B"}, {"code": "A"}], ([(1, 0), (0, 1)], [], [])),
    "twice the same code": ("Parts", [{"code": "A"}, {"code": "A"}], [{"code": "A"}], ([(0, 0)], [], [1])),
    "a rate of another day beside it": (
        "Labour rates",
        [{"code": "MAIN", "in_force_from": FIRST}],
        [{"code": "MAIN", "in_force_from": LATER}, {"code": "MAIN", "in_force_from": FIRST}],
        ([(0, 1)], [0], []),
    ),
    "a rate whose day was changed": (
        "Labour rates",
        [{"code": "MAIN", "in_force_from": FIRST}],
        [{"code": "MAIN", "in_force_from": LATER}],
        ([(0, 0)], [], []),
    ),
    "a use on the other side": (
        "Parts used",
        [
            {"used_by": "FIT", "part": "SEAL", "sides": ("left",)},
            {"used_by": "FIT", "part": "SEAL", "sides": ("right",)},
        ],
        [{"used_by": "FIT", "part": "SEAL", "sides": ("right",)}],
        ([(1, 0)], [], [0]),
    ),
    "a use for other machines": (
        "Parts used",
        [
            {"used_by": "FIT", "part": "SEAL", "sides": ("left",), "machines": ("A",)},
            {"used_by": "FIT", "part": "SEAL", "sides": ("right",), "machines": ("B",)},
        ],
        [{"used_by": "FIT", "part": "SEAL", "sides": ("right",), "machines": ("C",)}],
        ([(1, 0)], [], [0]),
    ),
    "a use by another operation": (
        "Parts used",
        [{"used_by": "FIT", "part": "SEAL"}],
        [{"used_by": "TEST", "part": "SEAL"}],
        ([], [0], [0]),
    ),
    "an offer with another number": (
        "Offers",
        [{"part": "SEAL", "supplier": "SOUTH", "suppliers_number": "1"}],
        [{"part": "SEAL", "supplier": "SOUTH", "suppliers_number": "2"}],
        ([(0, 0)], [], []),
    ),
    "an offer of another supplier": (
        "Offers",
        [{"part": "SEAL", "supplier": "SOUTH"}],
        [{"part": "SEAL", "supplier": "EAST"}],
        ([], [0], [0]),
    ),
    "a band whose start moved": (
        "Markup",
        [{"cost_over": Decimal(0), "cost_up_to": Decimal(10), "markup": Decimal(1)}],
        [{"cost_over": Decimal(1), "cost_up_to": Decimal(10), "markup": Decimal(2)}],
        ([(0, 0)], [], []),
    ),
    "a band of which only the markup stayed": (
        "Markup",
        [{"cost_over": Decimal(0), "cost_up_to": Decimal(10), "markup": Decimal(1)}],
        [{"cost_over": Decimal(1), "cost_up_to": Decimal(11), "markup": Decimal(1)}],
        ([(0, 0)], [], []),
    ),
    "a limit moved beside another of the same remedy": (
        "Fits only if",
        [
            {"remedy": "NEW", "finding": "WIDE", "to": Decimal(8)},
            {"remedy": "NEW", "finding": "WIDE", "from_": Decimal(1)},
        ],
        [
            {"remedy": "NEW", "finding": "WIDE", "from_": Decimal(1)},
            {"remedy": "NEW", "finding": "WIDE", "to": Decimal(9)},
        ],
        ([(1, 0), (0, 1)], [], []),
    ),
    "a tax on other charges from the same day": (
        "Taxes",
        [{"tax": "State", "charges": ("parts",), "in_force_from": FIRST}],
        [{"tax": "State", "charges": ("parts", "labour"), "in_force_from": FIRST}],
        ([(0, 0)], [], []),
    ),
    "a tax from another day on the same charges": (
        "Taxes",
        [{"tax": "State", "charges": ("parts",)}, {"tax": "State", "charges": ("labour",)}],
        [{"tax": "State", "charges": ("labour",), "in_force_from": LATER}],
        ([(1, 0)], [], [0]),
    ),
    "a tax of which only the name stayed": (
        "Taxes",
        [{"tax": "State", "charges": ("parts",)}],
        [{"tax": "State", "charges": ("labour",), "in_force_from": LATER}],
        ([(0, 0)], [], []),
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_rows_of_the_shop_book(name: str) -> None:
    """What stayed of a row decides; where two could be it, the one of which more stayed."""
    declared, old, new, expected = CASES[name]
    assert paired(sheet(declared), rows(*old), rows(*new)) == expected


OF_JOB = {
    "a finding of the other side stays itself": (
        "Findings",
        [{"finding": "WORN", "side": "left"}, {"finding": "WORN", "side": "right"}],
        [{"finding": "WORN", "side": "right"}],
        ([(1, 0)], [], [0]),
    ),
    "a finding whose side was changed": (
        "Findings",
        [{"finding": "WORN", "side": "left"}],
        [{"finding": "WORN", "side": "right"}],
        ([(0, 0)], [], []),
    ),
    "two of one side go by their note": (
        "Findings",
        [{"finding": "OTHER", "note": "bent"}, {"finding": "OTHER", "note": "dull"}],
        [{"finding": "OTHER", "note": "dull"}, {"finding": "OTHER", "note": "bent"}],
        ([(1, 0), (0, 1)], [], []),
    ),
    "an extra whose side was changed": (
        "Extras",
        [{"extra": "CLEAN", "side": "left"}],
        [{"extra": "CLEAN"}],
        ([(0, 0)], [], []),
    ),
    "a line of the same name and another kind": (
        "One-off",
        [{"line": "Towing", "kind": "charge"}, {"line": "Towing", "kind": "sublet"}],
        [{"line": "Towing", "kind": "sublet"}],
        ([(1, 0)], [], [0]),
    ),
    "a line whose kind was changed": (
        "One-off",
        [{"line": "Towing", "kind": "charge"}],
        [{"line": "Towing", "kind": "sublet"}],
        ([(0, 0)], [], []),
    ),
    "a line that was renamed": (
        "One-off",
        [{"line": "Towing", "kind": "charge", "quantity": Decimal(2)}],
        [{"line": "Pickup", "kind": "charge", "quantity": Decimal(2)}],
        ([(0, 0)], [], []),
    ),
    "a line renamed and counted anew": (
        "One-off",
        [{"line": "Towing", "kind": "charge", "quantity": Decimal(2)}],
        [{"line": "Pickup", "kind": "charge", "quantity": Decimal(3)}],
        ([], [0], [0]),
    ),
    "a plan for another side": (
        "Plan",
        [{"tier": "good", "item": "NEW", "side": "left"}],
        [{"tier": "good", "item": "NEW"}],
        ([(0, 0)], [], []),
    ),
    "a plan for another tier": (
        "Plan",
        [{"tier": "good", "item": "NEW"}],
        [{"tier": "best", "item": "NEW"}],
        ([], [0], [0]),
    ),
    "a plan of another item": (
        "Plan",
        [{"tier": "good", "item": "A"}],
        [{"tier": "good", "item": "B"}],
        ([], [0], [0]),
    ),
}


@pytest.mark.parametrize("name", OF_JOB)
def test_rows_of_the_job(name: str) -> None:
    declared, old, new, expected = OF_JOB[name]
    assert paired(sheet(declared, of_job=True), rows(*old), rows(*new)) == expected


def test_findings_of_the_book_go_by_their_code_those_of_the_job_by_more() -> None:
    assert identities(sheet("Findings")) == (("code",),)
    assert identities(sheet("Findings", of_job=True))[0] == ("finding", "side", "note")
    assert identities(sheet("Extras")) == (("code",),)


def test_what_a_row_is_about_are_columns_of_its_sheet() -> None:
    """A column that is renamed may not silently make every row a new one."""
    for declared in (*SHOP_BOOK, *JOB_WORKBOOK):
        fields = {field_of(column) for column in declared.columns}
        for about in identities(declared):
            assert set(about) <= fields, declared.name


@pytest.mark.parametrize(
    ("one", "other", "alike"),
    [
        ("Seal-19", "SEAL-19", True),
        (("left", "Right"), ["LEFT", "right"], True),
        (("left", "right"), ("right", "left"), False),
        (Quantity(code="seal", quantity=Decimal(2)), Quantity(code="SEAL", quantity=Decimal("2.0")), True),
        (Quantity(code="SEAL", quantity=Decimal(2)), Quantity(code="SEAL", quantity=Decimal(3)), False),
        (Quantity(code="SEAL", quantity=Decimal(2)), Quantity(code="BELT", quantity=Decimal(2)), False),
        (Decimal("1.0"), Decimal(1), True),
        (None, "", False),
        (FIRST, LATER, False),
    ],
)
def test_values_that_say_the_same(one: object, other: object, *, alike: bool) -> None:
    """Letters do not count, quantities do; the order of a list does; blank is not an empty word."""
    assert (same_form(one) == same_form(other)) is alike


CODES = st.lists(st.sampled_from("ABCDE"), max_size=6)


@given(CODES, CODES)
def test_every_row_is_told_once(old: list[str], new: list[str]) -> None:
    """However rows came, went and moved: each is a pair, new or gone, and as many stay as there can."""
    before, after = (rows(*({"code": code} for code in codes)) for codes in (old, new))
    same, added, removed = paired(sheet("Parts"), before, after)
    assert sorted([at for at, _ in same] + removed) == list(range(len(old)))
    assert sorted([at for _, at in same] + added) == list(range(len(new)))
    assert all(old[one] == new[other] for one, other in same)
    assert len(same) == sum(min(old.count(code), new.count(code)) for code in set(old))


@given(st.permutations("ABCD"))
def test_only_rows_as_they_stood_are_in_order(new: list[str]) -> None:
    before, after = (rows(*({"code": code} for code in codes)) for codes in ("ABCD", new))
    assert in_old_order(pair_rows(sheet("Parts"), before, after).same, before) is (new == list("ABCD"))
