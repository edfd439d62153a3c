"""Records as JSON and back: every digit, every field, and an old record is still read by a newer program."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.model.entries import (
    Billed,
    Closed,
    Declined,
    KeptFile,
    OfferedOption,
    OrderLine,
    Paid,
    ReceivedLine,
    Written,
)
from quotekit.model.record_json import UnreadableRecord, from_json, to_json
from quotekit.model.story import KINDS

PAID = {"amount": "60.00", "purpose": "deposit", "how": "cash"}


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Decimal("60.00"), "60.00"),
        (Decimal("1E+3"), "1000"),
        (Decimal("0.0000001"), "0.0000001"),
        (Decimal("-0.50"), "-0.50"),
        (date(2026, 11, 28), "2026-11-28"),
        (("a", Decimal("1.0")), ["a", "1.0"]),
        ({"A": Decimal("2")}, {"A": "2"}),
        (None, None),
        (True, True),
        (7, 7),
        ("text", "text"),
    ],
)
def test_values(value: object, expected: object) -> None:
    """Amounts keep every digit and never become a number that loses one."""
    assert to_json(value) == expected


@pytest.mark.parametrize("value", [0.5, object(), {1, 2}, b"bytes", Paid])
def test_what_no_record_holds_is_refused(value: object) -> None:
    with pytest.raises(TypeError, match="is no value of a record"):
        to_json(value)


def test_a_record_by_its_fields() -> None:
    assert to_json(Paid(amount=Decimal("60.00"), purpose="deposit", how="cash")) == PAID


def test_a_record_within_a_record() -> None:
    told = Closed(
        hours=(), parts=(), work_order=KeptFile(name="w.xlsx", sha256="ab"), cores_returned={"PUMP": Decimal("1")}
    )
    found = to_json(told)
    assert found["work_order"] == {"name": "w.xlsx", "sha256": "ab"}
    assert from_json(Closed, found) == told


def test_a_row_of_different_kinds() -> None:
    """Payments on a bill: a day or none, words, an amount."""
    value = {"payments": [[None, "as typed", "5.00"], ["2026-11-28", "cash", "60.00"]]}
    found = from_json(Billed, {**_a_bill(), **value})
    assert found.payments == ((None, "as typed", Decimal("5.00")), (date(2026, 11, 28), "cash", Decimal("60.00")))


def _a_bill() -> dict[str, Any]:
    amounts = ("subtotal", "tax", "total", "paid", "due", "authorised")
    return {"lines": [], "taxes": [], "currency": "USD", **dict.fromkeys(amounts, "0.00")}


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"amount": 60}, "Paid.amount: 60 is no str"),
        ({"amount": "sixty"}, "Paid.amount: 'sixty' is no Decimal"),
        ({"amount": None}, "Paid.amount: None is no str"),
        ({"purpose": "gift"}, "Paid.purpose: 'gift' is none of deposit, part payment, bill, refund, rounding"),
        ({"how": ["cash"]}, "Paid.how: ['cash'] is no str"),
    ],
)
def test_what_is_not_of_the_record_is_named(changed: dict[str, object], said: str) -> None:
    """The message says which field, so that the entry can be looked at."""
    with pytest.raises(UnreadableRecord) as refused:
        from_json(Paid, {**PAID, **changed})
    assert str(refused.value) == said


def test_a_fault_deep_inside_is_named_by_its_way() -> None:
    value = to_json(Written(of=1, folder="/quotes", documents=()))
    with pytest.raises(UnreadableRecord) as refused:
        from_json(Written, {**value, "documents": [{"name": "a"}]})
    assert str(refused.value) == "Written.documents[0].sha256 is missing"


@pytest.mark.parametrize("value", [None, [], "text", 7])
def test_what_is_no_record_at_all(value: object) -> None:
    with pytest.raises(UnreadableRecord):
        from_json(Paid, value)


def test_a_flag_is_no_number() -> None:
    with pytest.raises(UnreadableRecord, match=r"Written\.of"):
        from_json(Written, {"of": True, "folder": "", "documents": []})


def test_a_field_that_came_later_takes_its_default() -> None:
    """What was written years ago is read by today's program."""
    assert from_json(Paid, {"amount": "60.00", "purpose": "deposit"}) == Paid(
        amount=Decimal("60.00"), purpose="deposit"
    )


def test_a_field_that_went_is_passed_over() -> None:
    assert from_json(Paid, {**PAID, "till": "left"}) == from_json(Paid, PAID)


def test_a_field_that_has_no_default_must_be_there() -> None:
    with pytest.raises(UnreadableRecord, match=r"Paid\.amount is missing"):
        from_json(Paid, {"purpose": "deposit"})


@pytest.mark.parametrize("kind", KINDS.values())
def test_each_kind_of_entry_can_be_read(kind: type) -> None:
    """Its fields are of kinds that can be written and read: an empty one is refused by name, not by a crash."""
    try:
        from_json(kind, {})
    except UnreadableRecord as refused:
        assert "is missing" in str(refused)


AMOUNTS = st.decimals(allow_nan=False, allow_infinity=False, places=2, min_value=-(10**9), max_value=10**9)
TEXTS = st.text(max_size=20)
OPTIONS = st.builds(
    OfferedOption,
    code=TEXTS,
    name=TEXTS,
    subtotal=AMOUNTS,
    tax=AMOUNTS,
    total=AMOUNTS,
    deposit=AMOUNTS,
    ready_days=st.none() | st.integers(),
    margin=st.none() | AMOUNTS,
    extras=st.lists(TEXTS, max_size=3).map(tuple),
)
LINES = st.builds(
    OrderLine,
    supplier=TEXTS,
    part=TEXTS,
    name=TEXTS,
    suppliers_number=TEXTS,
    packs=st.integers(),
    pack_quantity=AMOUNTS,
    pack_cost=AMOUNTS,
    amount=AMOUNTS,
    jobs=st.dictionaries(TEXTS, AMOUNTS, max_size=3),
    needed=AMOUNTS,
    left_over=AMOUNTS,
    returnable=st.booleans(),
    lead_days=st.none() | st.integers(),
)
RECEIVED = st.builds(
    ReceivedLine,
    supplier=TEXTS,
    part=TEXTS,
    packs=st.integers(),
    pack_cost=st.none() | AMOUNTS,
    expected=st.none() | st.dates(),
)
NOES = st.builds(Declined, reason=st.sampled_from(["price", "time", "other"]), safety_left=st.tuples(TEXTS, TEXTS))


@given(OPTIONS | LINES | RECEIVED | NOES)
def test_what_is_written_is_read(value: object) -> None:
    """Through a text, as the ledger keeps it; with the digits of every amount."""
    found = from_json(type(value), json.loads(json.dumps(to_json(value))))
    assert found == value
    assert to_json(found) == to_json(value)


@given(OPTIONS | LINES | RECEIVED | NOES)
def test_nothing_but_plain_json_comes_out(value: object) -> None:
    def plain(one: object) -> bool:
        if isinstance(one, Mapping):
            return all(isinstance(key, str) and plain(inner) for key, inner in one.items())
        if isinstance(one, list):
            return all(map(plain, one))
        return one is None or type(one) in (bool, int, str)

    assert plain(to_json(value))
