"""Figures and cells of a comparison in plain words: each kind of name, and what is told first."""

from __future__ import annotations

from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.documents.compare_words import (
    cell_words,
    difference_text,
    figure_words,
    follows,
    is_money,
    value_text,
)
from quotekit.model.comparison import ChangedCell, FigureName


def name(figure: str) -> FigureName:
    return FigureName("117", "good", figure)


@pytest.mark.parametrize(
    ("figure", "words"),
    [
        ("total", "Total to pay"),
        ("amounts.inspection_credit", "Inspection fee credited"),
        ("cost.total", "Cost to the shop"),
        ("cash_for_parts", "Cash for parts, whole packs"),
        ("horizon_cost", "Cost over the years compared"),
        ("items", "What is done"),
        ("fixed", "Faults put right"),
        ("left", "Faults left"),
        ("safety_left", "Safety faults left"),
        ("dropped", "Work made unnecessary"),
        ("ready_days", "Working days to ready"),
        ("measure_next", "To be measured next"),
        ("look_next", "To be looked at next"),
        ("amounts.cores", "Core charges"),
        ("amounts.savings", "Savings and discount"),
        ("declined.total", "A no costs"),
        ("offered", "Offered to the customer"),
        ("reason", "Why it is not offered"),
        ("rate.for_profit", "Rate builder, an hour with the wanted profit"),
        ("currency", "Currency"),
        ("new_figure", "New figure"),
        ("parts.SEAL.amount", "Part SEAL, amount"),
        ("parts.SEAL.unit_price", "Part SEAL, price each"),
        ("parts.A.B.unit_price", "Part A.B, price each"),
        ("taxes.State levy.base", "Tax State levy, base"),
        ("shares.NEW@left.labour", "Share of NEW@left, labour"),
        ("extras.OIL.at_most", "Extra OIL, at most"),
        ("bundles.BOTH.amount", "Bundle BOTH, amount"),
        ("labour.MAIN.rate_per_hour", "Labour rate MAIN, per hour"),
        ("labour.MAIN.cost_per_hour", "Labour rate MAIN, cost per hour"),
        ("remedies.NEW.alone", "Remedy NEW, by itself, one side, before tax"),
        ("not_permitted.NEW.why", "Not permitted: NEW"),
        ("only_with.NEW.why", "Only together with others: NEW"),
        ("declined.tax", "A no costs: tax"),
        ("cost.parts_used", "Cost of parts used"),
        ("hours.billed.MAIN", "Hours, billed, MAIN"),
        ("hours.access", "Hours, access"),
        ("over_years.cost", "Over the years, cost"),
        ("amounts.new_charge", "Amount of new charge"),
        ("repair_or_replace.keep", "Repair or replace, keep"),
        ("sensitivity.interest.words", "What the order of the options hangs on, interest"),
        ("sensitivity.interest.low", "Sensitivity, interest, low"),
    ],
)
def test_a_figure_in_words(figure: str, words: str) -> None:
    assert figure_words(figure) == words


@given(st.lists(st.sampled_from(["parts", "x", "SEAL-19", "amount", "new_one", "cost"]), min_size=1, max_size=4))
def test_every_name_has_words_without_an_underscore(path: list[str]) -> None:
    words = figure_words(".".join(path))
    assert words and words == words.strip() and not words.endswith(",")
    assert "_" not in words.replace("new_one", "") or "new_one" in path[1:-1]


@pytest.mark.parametrize(
    ("figure", "follow"),
    [
        ("total", False),
        ("amounts.labour", False),
        ("shares.NEW.labour", True),
        ("over_years.cost", True),
        ("cost.labour", True),
        ("cost.total", False),
        ("operations", True),
        ("access", True),
        ("dropped", True),
        ("items", False),
        ("cash_for_parts", True),
        ("margin", False),
        ("extras.OIL.price", False),
        ("extras.OIL.work", True),
        ("extras.OIL.subtotal", True),
        ("extras.OIL.tax", True),
        ("extras.OIL.total", True),
        ("repair_or_replace.word", False),
        ("repair_or_replace.keep", True),
        ("repair_or_replace.replace", True),
        ("repair_or_replace.difference", True),
        ("repair_or_replace.horizon", True),
        ("repair_or_replace.limit", False),
        ("parts.SEAL.packs", True),
        ("parts.SEAL.amount", False),
        ("taxes.VAT.base", True),
        ("taxes.VAT.amount", False),
        ("sensitivity.interest.words", False),
        ("sensitivity.order", True),
        ("hours.total", False),
    ],
)
def test_which_figures_only_follow_others(figure: str, *, follow: bool) -> None:
    """The owner asks for the total, the word and what an extra costs; how they come about is told after."""
    assert follows(figure) is follow


@pytest.mark.parametrize(
    ("figure", "money"),
    [
        ("total", True),
        ("parts.SEAL.unit_price", True),
        ("parts.SEAL.quantity", False),
        ("parts.SEAL.packs", False),
        ("hours.billed.MAIN", False),
        ("shares.NEW.hours", False),
        ("shares.NEW.labour", True),
        ("ready_days", False),
        ("repair_or_replace.horizon", False),
        ("repair_or_replace.keep", True),
        ("sensitivity.interest.low", False),
    ],
)
def test_which_figures_are_money(figure: str, *, money: bool) -> None:
    assert is_money(name(figure)) is money


@pytest.mark.parametrize(
    ("figure", "text", "number", "currency", "said"),
    [
        ("total", "1234.50", D("1234.50"), "USD", "$1,234.50"),
        ("total", "1234.50", D("1234.50"), "", "1234.5"),
        ("hours.net", "2.50", D("2.50"), "USD", "2.5"),
        ("items", "A; B", None, "USD", "A; B"),
        ("items", "", None, "USD", "nothing"),
        ("margin", None, None, "USD", "none"),
        ("margin", None, D(1), "USD", "none"),
    ],
)
def test_a_value_for_people(figure: str, text: str | None, number: D | None, currency: str, said: str) -> None:
    """What is not there is `none`; a list with nothing in it is `nothing`; without a currency a plain number."""
    assert value_text(name(figure), text, number, currency, "en_US") == said


@pytest.mark.parametrize(
    ("difference", "said"), [("2.50", "+$2.50"), ("-2.50", "-$2.50"), ("0", "$0.00"), ("0.01", "+$0.01")]
)
def test_a_difference_has_its_sign_and_nothing_has_none(difference: str, said: str) -> None:
    assert difference_text(name("total"), D(difference), "USD", "en_US") == said


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"old": "10", "new": "12"}, "Pack cost: 10 -> 12"),
        ({"old": None, "new": "12"}, "Pack cost: blank -> 12"),
        ({"old": "10", "new": None}, "Pack cost: 10 -> blank"),
        ({"old": "", "new": "12"}, "Pack cost: blank -> 12"),
        ({"old": None, "new": "SEAL", "extent": "row"}, "Pack cost: new row: SEAL"),
        ({"old": "SEAL", "new": None, "extent": "row"}, "Pack cost: row gone: SEAL"),
        ({"old": "A, B", "new": "B, A", "extent": "sheet"}, "Pack cost: A, B -> B, A"),
    ],
)
def test_a_change_in_one_line(values: dict[str, Any], said: str) -> None:
    assert cell_words(ChangedCell(what="Pack cost", place_old=None, place_new=None, **values)) == said
