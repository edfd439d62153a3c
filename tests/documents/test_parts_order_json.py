"""A parts order as JSON: every amount a decimal string, null where nothing was ordered or known."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.documents.parts_order_json import exact_money, lay_out_order_json, line_json
from quotekit.problems import Place, warning
from tests.pricing.landed.orders import a_line, a_take, an_order

DAY = date(2026, 11, 26)


def test_an_order() -> None:
    order = an_order(a_line("SEAL", jobs={"117": Decimal("1.50")}), shelf=[a_take("COTTER", "6.0")], usual=Decimal(9))
    told = lay_out_order_json(3, DAY, order, [warning(Place("x"), "a-code", "Says.", "Do.")], ["order 3.xlsx"])
    assert (told["order"], told["day"], told["jobs"], told["files"]) == (3, "2026-11-26", ["117"], ["order 3.xlsx"])
    assert (told["landed"], told["usual"], told["saved"], told["bound"]) == ("6.40", "9.00", "2.60", "0.00")
    assert told["shelf"] == [{"part": "COTTER", "name": "Cotter", "job": "117", "quantity": "6"}]
    assert told["problems"][0]["code"] == "a-code"
    assert told["lines"][0]["jobs"] == {"117": "1.5"}


def test_nothing_ordered() -> None:
    told = lay_out_order_json(None, DAY, None, [])
    assert told == {"order": None, "day": "2026-11-26", "jobs": [], "lines": [], "problems": [], "files": []}


def test_where_the_usual_cannot_be() -> None:
    told = lay_out_order_json(1, DAY, an_order(a_line(), usual_why="too late"), [])
    assert (told["usual"], told["saved"], told["usual_why"]) == (None, None, "too late")
    assert lay_out_order_json(1, DAY, an_order(a_line(), usual=Decimal(1)), [])["usual_why"] is None


def test_a_line_without_a_cost() -> None:
    told = line_json(2, a_line(cost_known=False, pack_cost=Decimal(0)), 2)
    assert (told["line"], told["pack_cost"], told["amount"]) == (2, None, None)


@pytest.mark.parametrize(
    ("amount", "digits", "shown"), [("7.9", 2, "7.90"), ("0.125", 2, "0.125"), ("12", 0, "12"), ("0", 2, "0.00")]
)
def test_amounts_that_are_not_rounded(amount: str, digits: int, shown: str) -> None:
    """A pack cost may have more digits than the currency: it is told as it is."""
    assert exact_money(Decimal(amount), digits) == shown
