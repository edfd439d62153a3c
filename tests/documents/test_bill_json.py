"""A bill as JSON: every amount a decimal string with the currency's digits, and why there is none."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from quotekit.documents.bill_json import lay_out_bill_json, lay_out_refused_bill_json
from quotekit.model.entries import Billed, Entry
from quotekit.model.record_json import to_json
from quotekit.problems import Place, error, warning
from tests.build import a_tax
from tests.pricing.bill.cases import bill, closed
from tests.pricing.bill.shop import paid, two_repairs


def told(made: Billed, *, already: bool = False, **values: Any) -> dict[str, Any]:
    """The JSON of a recorded bill."""
    named: dict[str, Any] = {
        "seq": 7,
        "at": "2026-11-28T12:00:00.000000Z",
        "day": date(2026, 11, 28),
        "who": "Ann",
        "why": "",
        "kind": "billed",
        "job": "117",
        "version": 2,
        "number": 12,
        "body": to_json(made),
        "hash": "",
        "before": "",
    }
    return lay_out_bill_json(Entry(**named | values), [], ["a.xlsx"], already=already)


def test_figures_are_texts_with_the_digits_of_the_currency() -> None:
    facts = two_repairs({"currency": "KWD"}, taxes=[a_tax("Sales tax", "0.1", charges=["parts"])])
    found = told(bill(replace(facts, payments=paid("60"))))
    sums = [
        found[name] for name in ("subtotal", "tax", "total", "paid", "due", "refund", "authorised", "billed_before")
    ]
    assert sums == ["189.000", "3.900", "192.900", "60.000", "132.900", "0.000", "192.900", "0.000"]
    assert found["taxes"] == [{"tax": "Sales tax", "base": "39.000", "amount": "3.900"}]


def test_heads_and_files() -> None:
    found = told(bill(two_repairs()))
    heads = [found[name] for name in ("job", "bill", "version", "day", "of", "currency", "recorded", "entry", "files")]
    assert heads == ["117", 12, 2, "2026-11-28", "work", "USD", True, 7, ["a.xlsx"]]
    assert told(bill(two_repairs()), already=True)["recorded"] is False


def test_lines() -> None:
    labour, belt, seal = told(bill(two_repairs()))["lines"]
    assert labour == {
        "key": "labour:MAIN",
        "text": "Labour",
        "detail": "",
        "charge": "labour",
        "quantity": None,
        "unit": "",
        "each": None,
        "amount": "150.00",
    }
    assert (belt["key"], seal["quantity"], seal["each"], seal["amount"]) == ("part:BELT", "2", "4.50", "9.00")


def test_what_was_done_and_said() -> None:
    facts = replace(two_repairs({"labour_shown": "by repair"}), closed=closed(not_done="NEW-SEAL", parts="BELT x 3"))
    found = told(bill(facts))
    assert found["work"] == [{"text": "New-Belt", "warranty_days": None, "labour": "110.00"}]
    assert (found["not_done"], found["notes"]) == (["New-Seal"], ["2 more of Belt: not charged."])
    assert told(bill(two_repairs()))["work"][0]["labour"] is None


def test_nothing_in_it_is_a_number_with_decimals() -> None:
    def floats(value: object) -> bool:
        if isinstance(value, dict):
            return any(map(floats, value.values()))
        return any(map(floats, value)) if isinstance(value, list) else isinstance(value, float | Decimal)

    assert not floats(told(bill(two_repairs())))


def test_a_refusal_tells_every_problem() -> None:
    place = Place("job 117")
    found = lay_out_refused_bill_json("117", [error(place, "a", "No.", "Do."), warning(place, "b", "Hm.", "Look.")])
    assert (found["job"], found["bill"], found["recorded"], found["files"]) == ("117", None, False, [])
    assert [(one["code"], one["severity"]) for one in found["problems"]] == [("a", "error"), ("b", "warning")]
