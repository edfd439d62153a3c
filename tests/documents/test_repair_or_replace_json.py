"""Repair or replace as JSON: money with digits, years plain, null for what is not known."""

from __future__ import annotations

import json
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.repair_or_replace_json import repair_or_replace_json
from quotekit.model.repair_or_replace import (
    AS_IT_STANDS,
    COULD_LAST,
    NEW_PRICE,
    UPKEEP_NEW,
    RepairOrReplace,
    Stretch,
    WouldDecide,
)


def found(digits: int = 2, **values: Any) -> Any:
    return repair_or_replace_json(
        RepairOrReplace(**({"inputs": (), "repair": D(180), "left_out": D(0)} | values)), digits
    )


def test_what_is_known() -> None:
    known = {
        "horizon": D("5.0"),
        "keep": D("280"),
        "replace": D("410.5"),
        "limit": D("310.5"),
        "difference": D("130.5"),
    }
    assert found(**known, word="repair") == {
        "horizon": "5",
        "keep": "280.00",
        "replace": "410.50",
        "limit": "310.50",
        "difference": "130.50",
        "word": "repair",
        "missing": [],
        "would_decide": None,
    }


def test_nothing_is_known_but_what_is_missing() -> None:
    assert found(missing=(NEW_PRICE, AS_IT_STANDS)) == {
        "horizon": None,
        "keep": None,
        "replace": None,
        "limit": None,
        "difference": None,
        "word": None,
        "missing": [NEW_PRICE, AS_IT_STANDS],
        "would_decide": None,
    }


@pytest.mark.parametrize("amount", ["keep", "replace", "limit", "difference"])
def test_zero_is_an_amount_and_a_difference_may_be_below_it(amount: str) -> None:
    assert found(**{amount: D(0)})[amount] == "0.00"
    assert found(**{amount: D("-12.5")})[amount] == "-12.50"
    assert found(digits=0, **{amount: D(7)})[amount] == "7"
    assert found(horizon=D(0))["horizon"] == "0"


def decides(*names: str, even: D | None = D("2.5"), digits: int = 2) -> Any:
    words = (
        Stretch(word="repair", from_=None, to=D("2.5")),
        Stretch(word="close call", from_=D("2.51"), to=D("3.0")),
        Stretch(word="replace", from_=D("3.01"), to=None),
    )
    return found(digits, would_decide=WouldDecide(names=names, even=even, words=words))["would_decide"]


@pytest.mark.parametrize(
    ("names", "even", "ends"),
    [
        ([NEW_PRICE], "2.50", [(None, "2.50"), ("2.51", "3.00"), ("3.01", None)]),
        ([UPKEEP_NEW], "2.50", [(None, "2.50"), ("2.51", "3.00"), ("3.01", None)]),
        ([COULD_LAST], "2.5", [(None, "2.5"), ("2.51", "3"), ("3.01", None)]),
        ([COULD_LAST, NEW_PRICE], "2.50", [(None, "2.50"), ("2.51", "3.00"), ("3.01", None)]),
    ],
)
def test_years_are_plain_where_they_alone_are_missing(
    names: list[str], even: str, ends: list[tuple[str | None, str | None]]
) -> None:
    """An upkeep a year and a price are money; how long it could last is a number of years."""
    told = decides(*names)
    assert (told["values"], told["even"]) == (names, even)
    assert [(part["from"], part["to"]) for part in told["words"]] == ends
    assert [part["word"] for part in told["words"]] == ["repair", "close call", "replace"]


def test_no_value_at_which_both_cost_the_same() -> None:
    assert decides(NEW_PRICE, even=None)["even"] is None
    assert decides(COULD_LAST, even=None)["even"] is None
    assert decides(NEW_PRICE, even=D(0))["even"] == "0.00"


def test_it_can_be_written_as_it_is() -> None:
    told = found(horizon=D(5), keep=D(1), word="replace")
    assert json.loads(json.dumps(told)) == told
