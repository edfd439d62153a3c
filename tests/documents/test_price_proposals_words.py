"""Words, JSON and lines of price proposals."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.price_proposals_json import lay_out_proposals_json
from quotekit.documents.price_proposals_style import each_format
from quotekit.documents.price_proposals_text import lay_out_proposals_text
from quotekit.documents.price_proposals_words import (
    FIELD_WORDS,
    LEFT_TODO,
    LEFT_WORDS,
    NOTE_WORDS,
    OVER_WORDS,
    also_changes,
    exact_words,
    figure,
    gone_words,
    in_money,
    in_percent,
    instead_words,
    note_words,
    why_second,
)
from quotekit.model.proposed_prices import FIELDS, ChangedField, Left, Noted, Over, Said
from quotekit.pricing.proposals.propose import Ledger, propose_prices
from quotekit.problems import Place, warning
from tests.pricing.proposals.a_shop import everything, gives_way
from tests.pricing.proposals.rows import DAY, book_of, compared, exact, found, part, proposal

USED = {"pin": 100, "seal": 10}


@pytest.mark.parametrize(
    ("words", "kinds"),
    [(OVER_WORDS, Over), (NOTE_WORDS, Noted), (LEFT_WORDS, Left), (LEFT_TODO, Left), (FIELD_WORDS, ChangedField)],
)
def test_every_kind_has_its_words(words: dict[str, str], kinds: Any) -> None:
    assert set(words) == set(get_args(kinds)) and all(words.values())


def test_every_field_has_a_column() -> None:
    assert set(FIELDS) == set(get_args(ChangedField))


@pytest.mark.parametrize(
    ("old", "new", "expected", "why"),
    [
        (("10.00", "1"), {"cost": "11"}, "", "the columns show it"),
        (("10.00", "4"), {"cost": "3"}, "pack of 4: 10.00 → 12.00", "a pack of several"),
        (("10.00", "4"), {"cost": "3", "pack": "5"}, "pack of 4 at 10.00 → pack of 5 at 15.00", "another pack"),
        (("0.05", "4"), {"cost": "0.0126"}, "pack of 4: 0.05 → 0.0504", "digits beyond the cent are not hidden"),
        (
            ("10.00", "1"),
            {"cost": "10", "list_price": "20", "lead_days": 9},
            "list price blank → 20.00; lead days blank → 9",
            "other terms",
        ),
    ],
)
def test_what_a_tick_takes_over(old: tuple[str, str], new: dict[str, Any], expected: str, why: str) -> None:
    one = proposal(book_of(part("SEAL", *old)), exact("N-SEAL", **new))
    assert also_changes(one, everything()) == expected, why


def test_a_cost_date_is_told_where_it_is_all() -> None:
    """Every other change brings one with it."""
    alone = proposal(book_of(part("SEAL", "10.00", cost_date=date(2026, 1, 2))), exact("N-SEAL", "10"))
    assert also_changes(alone, everything()) == "cost date 2026-01-02 → 2026-12-01"
    other = proposal(book_of(part("SEAL", "10.00", cost_date=date(2026, 1, 2))), exact("N-SEAL", "11"))
    assert also_changes(other, everything()) == ""


def test_a_part_that_gives_way_says_what_quotes_hold_then() -> None:
    told = gives_way({"belt": 10})
    belt, *others = told.proposals
    assert instead_words(belt, told) == "quotes then hold LONG, cost of one 23.00, price 34.50: a year is counted so"
    assert {instead_words(one, told) for one in others} == {""}
    page = lay_out_proposals_json(told, [], [])
    assert page["proposals"][0]["instead"] == {"part": "LONG", "cost_each": "23", "price": "34.50"}
    assert (page["proposals"][0]["cost_effect"], page["proposals"][1]["instead"]) == ("30.00", None)
    assert "    BELT: cost of one 15%, $30.00 more to pay a year" in lay_out_proposals_text(told)


def test_a_part_that_gave_way_before_says_where_its_units_count() -> None:
    book = book_of(part("BELT", "20.00", replaced_by="LONG"), part("LONG", "22.00"))
    belt = proposal(book, exact("N-BELT", "29.00"), code="BELT")
    assert gone_words(belt) == "quotes hold LONG in its place already: what was used counts there"
    assert gone_words(proposal(book_of(part("LONG", "22.00")), exact("N-LONG", "29.00"), code="LONG")) == ""


def test_why_a_second_tick() -> None:
    one = proposal(
        book_of(part("SEAL", "10.00")),
        exact("N-SEAL", "10", superseded_by="N-9"),
        exact("N-9", "13.00", list_price="12"),
    )
    assert why_second(one, everything()) == (
        "the cost of one changes by more than 20%; "
        "the cost would be above the list price; number N-9 takes the place of the old one"
    )  # fmt: skip


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (Said(what="rounded", about="pack cost"), "pack cost rounded to six decimals"),
        (Said(what="no column", about="Lead days"), "the sheet has no column Lead days"),
        (Said(what="in a circle", about="7"), "the list replaces 7 in a circle: nothing was followed"),
        (
            Said(what="kit in a kit", about="HUB-KIT"),
            "the list replaces it by HUB-KIT, a kit, and a kit of the book contains it: list single parts",
        ),
        (Said(what="confirmed"), "the list says the same price: its date alone is renewed"),
    ],
)
def test_notes(said: Said[Noted], expected: str) -> None:
    assert note_words(said) == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [("12.5", "12.50"), ("0.0125", "0.0125"), ("3", "3.00"), ("1E+2", "100.00"), ("0.100", "0.10")],
)
def test_amounts_lose_no_digit(value: str, expected: str) -> None:
    assert exact_words(Decimal(value), everything()) == expected


@given(st.fractions(min_value=-1000, max_value=1000))
def test_a_figure_is_exact_or_at_six_decimals(value: Fraction) -> None:
    shown = figure(value)
    assert abs(Fraction(shown) - value) <= Fraction(1, 2_000_000)
    assert Fraction(shown) == value or (value * 10**6).denominator != 1


def test_number_formats() -> None:
    assert [each_format(digits) for digits in (0, 2, 3)] == ["#,##0.######", "#,##0.00####", "#,##0.000###"]


def test_money_and_shares_in_words() -> None:
    told = everything()
    assert in_money(Fraction(1, 3), told) == "$0.33" and in_money(None, told) == "not known"
    assert in_percent(Fraction(-1, 8), told) == "-12.5%" and in_percent(None, told) == "-"


def test_json_holds_exact_texts() -> None:
    told = lay_out_proposals_json(everything(USED), [], ["out.xlsx"])
    assert json.loads(json.dumps(told)) == told
    pin = told["proposals"][0]
    assert pin["part"] == "PIN" and pin["used"] == "100"
    assert (pin["cost_effect"], pin["price_effect"], pin["cost_change"]) == ("30.00", "60.00", "0.3000")
    assert pin["changes"] == [{"cell": "Parts!E3", "column": "Pack cost", "old": "1.00", "new": "1.3"}]
    assert [one["code"] for one in pin["second_tick"]] == ["cost change", "price change"]
    assert (told["cost_effect"], told["price_effect"], told["used_from"]) == ("40.00", "75.00", "2025-12-02")
    (trouble, quote) = told["open_quotes"]
    assert trouble["trouble"] == "no sheet Job" and trouble["tiers"] == []
    assert quote["tiers"][0]["margin_held"] == "28.00" and quote["tiers"][0]["would_lose_money"] is False
    assert told["not_proposed"][0]["why"] == "not found" and told["files"] == ["out.xlsx"]


def test_no_number_of_the_json_is_a_float() -> None:
    def numbers(value: Any) -> list[Any]:
        if isinstance(value, dict):
            return [one for each in value.values() for one in numbers(each)]
        if isinstance(value, list):
            return [one for each in value for one in numbers(each)]
        return [value]

    told = lay_out_proposals_json(everything(USED), [], [])
    assert not [one for one in numbers(told) if isinstance(one, (float, Decimal, Fraction))]


def test_json_where_something_was_in_the_way() -> None:
    problem = warning(Place("a.csv"), "no-price-list", "no list", "Name one.")
    told = lay_out_proposals_json(None, [problem], [])
    assert told["book"] is None and told["proposals"] == [] and told["problems"][0]["code"] == "no-price-list"


def test_json_without_a_ledger() -> None:
    told = lay_out_proposals_json(everything(), [], [])
    assert told["cost_effect"] is None and told["proposals"][0]["used"] is None


def test_lines_for_the_terminal() -> None:
    lines = lay_out_proposals_text(everything(USED))
    assert lines == [
        "north.csv: 4 rows of the shop book name NORTH",
        "lake.csv: 2 rows of the shop book name LAKE",
        "5 rows to tick, 1 of them with a second tick; 0 say what the list says",
        "nothing proposed for 1 row: not in the list",
        "a year: $40.00 more to pay, $75.00 more to sell for",
        "    PIN: cost of one 30%, $30.00 more to pay a year",
        "    SEAL: cost of one 10%, $10.00 more to pay a year",
        "open quotes that hold such parts: 117-2",
        "90-1 can't be priced again: no sheet Job",
    ]


def test_a_price_that_falls_is_less_in_the_terminal() -> None:
    """Nobody reads -$10.00 more."""
    book, answers = book_of(part("SEAL", "10.00")), found(exact("N-SEAL", "9.00"))
    ledger = Ledger(used_from=DAY, units={"seal": Fraction(10)})
    told = propose_prices(book, [compared(answers)], DAY, Decimal("0.2"), ledger=ledger)
    _, _, year, seal = lay_out_proposals_text(told)
    assert year == "a year: $10.00 less to pay, $15.00 less to sell for"
    assert seal == "    SEAL: cost of one -10%, $10.00 less to pay a year"


def test_a_loss_is_told_in_the_terminal() -> None:
    told = everything(USED)
    quote = next(one for one in told.quotes if one.tiers)
    lost = replace(quote, tiers=(replace(quote.tiers[0], margin_held=Decimal("-5.00")),))
    assert lay_out_proposals_text(replace(told, quotes=(lost,)))[-1] == "117-2 would lose money if held, Good: -$5.00"


def test_a_book_that_says_what_the_list_says() -> None:
    told = propose_prices(book_of(part("SEAL", "10.00")), [compared(found(exact("N-SEAL", "10")))], DAY, Decimal("0.2"))
    assert lay_out_proposals_text(told)[1] == "0 rows to tick; 1 say what the list says"
