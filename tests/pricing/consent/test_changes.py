"""What is new against what was agreed."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.agreed import AgreedTax
from quotekit.pricing.consent.changes import (
    changed_amounts,
    changed_parts,
    changed_taxes,
    changes_of,
    gone_items,
    new_items,
)
from tests.pricing.consent.made import D, a_part_agreed, an_agreed, an_item


def test_repairs_that_are_new_and_that_are_gone() -> None:
    """One side more is another repair."""
    before = an_agreed(items=(an_item("BELT"), an_item("BUSH@left")))
    now = an_agreed(items=(an_item("BUSH@left"), an_item("BUSH@right"), an_item("ONEOFF-1")))
    assert [item.key for item in new_items(before, now)] == ["BUSH@right", "ONEOFF-1"]
    assert [item.key for item in gone_items(before, now)] == ["BELT"]


@pytest.mark.parametrize(
    ("now", "new", "gone"),
    [
        ([("ONEOFF-1", "Weld the bracket")], [], []),
        ([("ONEOFF-1", "Straighten"), ("ONEOFF-2", "Weld the bracket")], ["ONEOFF-1"], []),
        ([("ONEOFF-1", "Straighten")], ["ONEOFF-1"], ["ONEOFF-1"]),
        ([("ONEOFF-1", "Weld the bracket"), ("ONEOFF-2", "Weld the bracket")], ["ONEOFF-2"], []),
        ([], [], ["ONEOFF-1"]),
    ],
)
def test_a_one_off_line_is_known_by_its_text(now: list[tuple[str, str]], new: list[str], gone: list[str]) -> None:
    """A row put in above another moves its code: the customer must read what is new, not what was agreed before."""
    before = an_agreed(items=(an_item("ONEOFF-1", "Weld the bracket", kind="one-off"),))
    items = tuple(an_item(key, name, kind="one-off") for key, name in now)
    found = changes_of(before, an_agreed(items=items))
    assert ([item.key for item in found.new], [item.key for item in found.gone]) == (new, gone)


def test_a_one_off_part_is_known_by_its_text_and_hides_no_work_of_its_code() -> None:
    """The plate was ONEOFF-1; now a hose is, and the plate comes second. Labour that had a gone part's code is new."""
    plate = a_part_agreed("ONEOFF-1", name="Plate")
    moved, hose = a_part_agreed("ONEOFF-2", name="Plate"), a_part_agreed("ONEOFF-1", name="Hose")
    (change,) = changed_parts(an_agreed(parts=(plate,)), an_agreed(parts=(hose, moved)))
    assert (change.before, change.after) == (None, hose)
    work = an_item("ONEOFF-1", "Straighten", kind="one-off")
    agreed = an_item("ONEOFF-1", "Plate", kind="one-off")
    found = changes_of(an_agreed(items=(agreed,), parts=(plate,)), an_agreed(items=(work,)))
    assert ([item.name for item in found.new], found.gone) == (["Straighten"], ())


@pytest.mark.parametrize(
    ("now", "changed"),
    [
        ([a_part_agreed("BELT")], []),
        ([a_part_agreed("BELT", "2")], [("1", "2")]),
        ([a_part_agreed("BELT", price="11.00")], [("1", "1")]),
        ([a_part_agreed("BELT", new_or_used="used")], [("1", "1")]),
        ([a_part_agreed("BELT", own=True)], [("1", "1")]),
        ([a_part_agreed("BELT", pack_cost=D(9), cost=D(9), supplier="SOUTH", packs=2)], []),
        ([], [("1", None)]),
        ([a_part_agreed("BELT"), a_part_agreed("SEAL", "3")], [(None, "3")]),
        ([a_part_agreed("SEAL", "3")], [(None, "3"), ("1", None)]),
    ],
)
def test_parts_as_the_customer_knows_them(now: list[object], changed: list[tuple[str | None, str | None]]) -> None:
    """Cost and supplier are the shop's own; a part that is used in place of new is another one."""
    found = changed_parts(an_agreed(parts=(a_part_agreed("BELT"),)), an_agreed(parts=tuple(now)))
    quantities = [
        (change.before and str(change.before.quantity), change.after and str(change.after.quantity)) for change in found
    ]
    assert quantities == changed


def test_amounts_in_the_order_of_money_without_those_that_never_were() -> None:
    before = an_agreed(amounts={"labour": D("40.00"), "parts": D("29.25"), "freight": D("0.00")})
    now = an_agreed(amounts={"labour": D("94.00"), "parts": D("29.25"), "freight": D("0.00"), "fees": D("3.00")})
    found = [(change.name, change.before, change.after, change.difference) for change in changed_amounts(before, now)]
    assert found == [
        ("labour", D("40.00"), D("94.00"), D("54.00")),
        ("parts", D("29.25"), D("29.25"), D("0.00")),
        ("fees", D(0), D("3.00"), D("3.00")),
    ]


def test_taxes_by_their_names() -> None:
    """Two rows of one tax are one line; a tax that went stays to be seen."""
    before = an_agreed(taxes=(AgreedTax(tax="Old", base=D(9), amount=D("0.90")),))
    now = an_agreed(taxes=tuple(AgreedTax(tax="State", base=D(50), amount=D("3.00")) for _ in range(2)))
    found = [(change.name, change.before, change.after) for change in changed_taxes(before, now)]
    assert found == [("State", D(0), D("6.00")), ("Old", D("0.90"), D(0))]


def test_a_one_off_part_is_told_once() -> None:
    """A one-off part is an item and a part of one name; a repair is told beside its part, whatever its code."""
    before = an_agreed(items=(an_item("BELT"), an_item("ONEOFF-1", kind="one-off")), parts=(a_part_agreed("ONEOFF-1"),))
    now = an_agreed(
        items=(an_item("BELT"), an_item("ONEOFF-2", kind="one-off"), an_item("SEAL-19")),
        parts=(a_part_agreed("ONEOFF-2"), a_part_agreed("SEAL-19")),
    )
    changes = changes_of(before, now)
    assert [item.key for item in changes.new] == ["SEAL-19"]
    assert changes.gone == ()
    codes = [(change.before and change.before.part, change.after and change.after.part) for change in changes.parts]
    assert codes == [(None, "ONEOFF-2"), (None, "SEAL-19"), ("ONEOFF-1", None)]


NAMES = ("labour", "parts", "supplies", "savings")
AMOUNTS = st.dictionaries(st.sampled_from(NAMES), st.integers(-5_000, 50_000).map(lambda c: Decimal(c).scaleb(-2)))


@given(AMOUNTS, AMOUNTS)
def test_differences_add_up_to_that_of_the_subtotals(before: dict[str, Decimal], now: dict[str, Decimal]) -> None:
    """Nothing is left out of the list but what is zero both times."""
    zero = Decimal(0)
    found = changed_amounts(an_agreed(amounts=before), an_agreed(amounts=now))
    assert sum((change.difference for change in found), zero) == sum(now.values(), zero) - sum(before.values(), zero)
