"""The JSON of a quote: every field, decimal strings, fixed order."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal
from typing import Any, cast

import jsonschema
import pytest

from quotekit.documents.quote_json import lay_out_quote_json, lay_out_refusal_json, money, plain
from quotekit.problems import Place, error
from tests.cli.quote_contract import check_contract
from tests.documents.sample_quote import BOOK, GOOD, QUOTE

WRONG = error(Place("book.xlsx", "Parts", "D14"), "number-as-text", "Pack cost is text.", "Type 12 as a number.", "$12")

FIELDS = """job version quote_date valid_until currency book_sha256 job_sha256 tiers sensitivity not_permitted
only_with measure_next look_next declined problems files""".split()
TIER_FIELDS = """code name offered reason items operations access dropped fixed left safety_left hours parts amounts
bundles work subtotal taxes tax total deposit due ready_days horizon_cost shares cost cash_for_parts margin compared
proof extras repair_or_replace over_years why""".split()


def laid_out() -> dict[str, Any]:
    return cast(dict[str, Any], lay_out_quote_json(QUOTE, files=["117-1 quote.xlsx", "117-1 costing.xlsx"]))


def test_it_keeps_the_contract() -> None:
    check_contract(laid_out())


def test_fields_come_in_the_order_of_the_contract() -> None:
    value = laid_out()
    assert list(value) == FIELDS
    assert list(value["tiers"][0]) == TIER_FIELDS


def test_it_is_plain_json() -> None:
    assert json.loads(json.dumps(laid_out())) == laid_out()


def test_hours_are_plain_and_money_has_the_currencys_digits() -> None:
    tier = laid_out()["tiers"][0]
    assert tier["hours"] == {
        "access": "1.7", "net": "1", "allowance": "0.15", "off": "0", "billed": {"MAIN": "3"}, "minimum_added": "0",
    }  # fmt: skip
    assert tier["parts"][0] == {
        "part": "BUSHING", "quantity": "2", "packs": 1, "unit_price": "14.25", "amount": "28.50",
    }  # fmt: skip
    assert tier["extras"][0]["at_most"] == "33.50"


def test_amounts_add_up_to_the_subtotal() -> None:
    tier = laid_out()["tiers"][0]
    assert sum(map(Decimal, tier["amounts"].values())) == Decimal(tier["subtotal"])


def test_instances_are_written_with_their_side() -> None:
    tier = laid_out()["tiers"][0]
    assert tier["items"] == ["NEWBUSH@left", "NEWBUSH@right"]
    assert tier["operations"] == ["BUSH@left", "BUSH@right"]
    assert tier["access"] == ["HOUSING"]


def test_an_hours_off_bundle_has_no_amount() -> None:
    assert laid_out()["tiers"][0]["bundles"] == [
        {"bundle": "BOTH", "amount": "-10.00"},
        {"bundle": "SOON", "amount": None},
    ]


def test_a_tier_that_is_not_offered_keeps_its_numbers_and_unknown_costs_are_null() -> None:
    tier = laid_out()["tiers"][1]
    assert (tier["offered"], tier["reason"]) == (False, "It is the same work as Put right.")
    assert tier["total"] == "375.68"
    assert (tier["cost"]["labour"], tier["cost"]["total"], tier["margin"], tier["ready_days"]) == (None,) * 4


def test_reasons_and_files() -> None:
    value = laid_out()
    assert value["not_permitted"][0]["remedy"] == "SEALED"
    assert value["only_with"] == [{"remedy": "SEALED", "side": "right", "with": ["NEWSHAFT"]}]
    assert value["files"] == ["117-1 quote.xlsx", "117-1 costing.xlsx"]
    assert value["problems"][0]["place"] == "book.xlsx:Parts!E14"


def test_with_an_error_there_are_no_tiers() -> None:
    value = cast(dict[str, Any], lay_out_quote_json(QUOTE, [*QUOTE.problems, WRONG]))
    check_contract(value)
    assert value["tiers"] == []
    assert [problem["severity"] for problem in value["problems"]] == ["warning", "error"]


def test_a_refusal_has_every_field_and_null_for_what_is_not_known() -> None:
    value = cast(dict[str, Any], lay_out_refusal_json([WRONG], book_sha256="a" * 64))
    check_contract(value)
    assert list(value) == FIELDS
    assert (value["job"], value["tiers"], value["declined"]) == (None, [], None)


@pytest.mark.parametrize(("currency", "total"), [("JPY", "376"), ("KWD", "375.680")])
def test_digits_follow_the_currency(currency: str, total: str) -> None:
    settings = replace(BOOK.settings, currency=currency)
    quote = replace(QUOTE, currency=currency, book=replace(BOOK, settings=settings))
    value = cast(dict[str, Any], lay_out_quote_json(quote))
    assert value["tiers"][0]["total"] == total


def test_the_schema_refuses_a_field_too_many_or_too_few() -> None:
    """A schema that lets things through proves nothing."""
    for change in ({"recommended": "good"}, {"tiers": [{}]}):
        with pytest.raises(jsonschema.ValidationError):
            check_contract({**laid_out(), **change})
    short = laid_out()
    del short["files"]
    with pytest.raises(jsonschema.ValidationError):
        check_contract(short)


@pytest.mark.parametrize(
    ("number", "expected"),
    [("2.60", "2.6"), ("0", "0"), ("0.00", "0"), ("1E+3", "1000"), ("-0.0", "0"), ("1E-7", "0.0000001"), ("10", "10")],
)
def test_plain_numbers(number: str, expected: str) -> None:
    assert plain(Decimal(number)) == expected


def test_zero_has_no_sign() -> None:
    assert money(Decimal("-0.00"), 2) == "0.00"


def test_no_amount_of_the_tier_is_lost() -> None:
    """Each saving, fee and freight line is in one of the ten amounts."""
    amounts = GOOD.amounts
    assert sum(line.amount for line in GOOD.fee_lines) == amounts.fees
    assert sum(line.amount for line in GOOD.freight_lines) == amounts.freight
    assert sum(line.amount for line in GOOD.saving_lines) == amounts.savings


def test_a_tier_that_could_not_be_worked_out_has_null_for_its_figures() -> None:
    """A zero would read like an answer."""
    bare = replace(
        GOOD, offered=False, priced=False, reason="WORN@left has no permitted remedy.", operations=(), access=(),
        dropped=(), part_lines=(), bundles=(), taxes=(), shares=(), extras=(),
    )  # fmt: skip
    value = cast(dict[str, Any], lay_out_quote_json(replace(QUOTE, tiers=(bare,))))
    check_contract(value)
    (tier,) = value["tiers"]
    assert list(tier) == TIER_FIELDS
    assert (tier["total"], tier["amounts"]["labour"], tier["cost"]["total"], tier["hours"]["net"]) == (None,) * 4
