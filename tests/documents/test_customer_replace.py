"""Repair or replace as the customer reads it: on the sheet and on the page, from real quotes of a small shop."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal as D
from html import unescape
from typing import Any

import pytest

from quotekit.documents.customer_grid import Grid
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.customer_replace import replace_rows
from quotekit.documents.page_breaks import pages_of
from quotekit.documents.page_layout import lay_out_page
from quotekit.documents.page_replace import replace_part
from quotekit.documents.sheet import Cell, Row
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from tests.examples.test_built_examples import quoted
from tests.pricing.test_repair_or_replace import tiers_of_two

OTHERS = {
    "new_price": "the price of a new one",
    "used_value_working": "what a used one that works costs",
    "value_as_it_stands": "what yours would bring as it stands",
    "upkeep_after_repair": "what yours costs a year to keep up once repaired",
    "upkeep_new": "what a new one costs a year to keep up",
    "years_it_could_last": "how many years yours could last",
}


def a_quote(**job: Any) -> Quote:
    """Two options of 100 and 600 of work; the limit of both is 500, a tenth of the new price 100."""
    book, asked, _ = tiers_of_two(**job)
    return build_quote(book, asked)


def rows_of(quote: Quote) -> list[list[str]]:
    """The texts and amounts of the section, row by row, blanks left out."""
    rows = replace_rows(quote, Grid(options=len(quote.offered)))
    return [shown for row in rows if (shown := [str(cell.content) for cell in row.cells if cell.content is not None])]


def text_of(quote: Quote) -> str:
    return " ".join(" ".join(row) for row in rows_of(quote))


def page_text(quote: Quote) -> str:
    """The section of the page without its markup."""
    return unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]*>", " ", replace_part(quote))))


def test_both_costs_the_limit_and_the_word_by_hand() -> None:
    """100 + 250 - 200 and 600 + 250 - 200; 1000 - 100 + 150 - 500."""
    title, cost, limit, closing = rows_of(a_quote())
    assert title == ["Repair or replace: your decision", "Option 1", "Option 2", "A new one"]
    assert cost == ["Cost over 5 years, less what it is worth then", "150.00", "650.00", "550.00"]
    assert limit == ["The repair is worth up to $500.00 to you; the cheaper way", "Repair", "Close call"]
    assert "Counted with: a new one, tax and delivery included, $1,000.00; a used one that works $400.00" in closing[0]


def test_every_input_is_shown_as_an_estimate_to_replace() -> None:
    words = text_of(a_quote())
    for amount in ("$1,000.00", "$400.00", "yours as it stands $100.00", "$50.00, of a new one $30.00", "last: 10."):
        assert amount in words
    assert "estimates, no guarantee: put in your own numbers" in words
    assert "sound used one" in words
    assert "Left out: the inspection, and what you may add." in words


@pytest.mark.parametrize(
    ("job", "words"),
    [({"new_price": D(5000)}, ["Repair", "Repair"]), ({"upkeep_after_repair": D(200)}, ["Replace", "Replace"])],
)
def test_it_is_there_whichever_way_it_comes_out(job: dict[str, Any], words: list[str]) -> None:
    """Limit 2500 of a price of 5000; or upkeep of 5 x 170 more: worth less than nothing."""
    assert rows_of(a_quote(**job))[2][1:] == words


def test_a_job_without_values_has_no_section() -> None:
    blank = dict.fromkeys(OTHERS)
    assert rows_of(a_quote(**blank)) == []
    assert "Repair or replace" not in lay_out_page(a_quote(**blank), "A")


@pytest.mark.parametrize("name", OTHERS)
def test_a_missing_value_is_named_and_not_counted_as_zero(name: str) -> None:
    """Each is said to be not known, and either the word stands whatever it is, or what it turns on is said."""
    words = text_of(a_quote(**{name: None}))
    assert "not known" in words
    assert f"turns on {OTHERS[name]}: " in words or f"whatever {OTHERS[name]} is" in words


def test_what_a_missing_price_would_decide_in_words() -> None:
    """(new + 400) / 2 - 100 - 100 - 100 less a repair of 600: the same at 1200, close from 1000 to 1500."""
    _, words, first, second, _ = rows_of(a_quote(new_price=None))
    assert words == ["The cheaper way", "Repair", "\u2013"]
    assert first == ["Option 1", "Repair, whatever the price of a new one is."]
    assert second == [
        "Option 2",
        "It turns on the price of a new one: up to $999.99 replace; from $1,000.00 to $1,500.01 a close call; "
        "from $1,500.02 on repair.",
    ]


def test_several_missing_are_named_by_effect() -> None:
    rows = rows_of(a_quote(value_as_it_stands=None, used_value_working=None, upkeep_new=None))
    assert [row for row in rows if row[0] == "Every option"] == [
        [
            "Every option",
            "Nothing can be said yet without what a new one costs a year to keep up, what yours would bring as it "
            "stands and what a used one that works costs.",
        ]
    ]


def test_values_that_cannot_both_be_right_are_said_to_be() -> None:
    words = text_of(a_quote(used_value_working=D(2000)))
    assert "Not compared: two of these values can\u2019t both be right." in words
    assert "Cost over" not in words


def test_the_page_says_the_same_and_more() -> None:
    quote = a_quote()
    words = page_text(quote)
    for cells in rows_of(quote)[1:3]:
        label, *answers = cells
        assert label in words
        assert all(amount_words(answer) in words for answer in answers)
    assert "Against a sound used one the repair is worth up to $300.00 to you." in words
    assert "With your own numbers: the repair is worth to you up to half of what a new one and a used one cost" in words


def test_what_a_new_one_loses_is_told_where_it_is_given() -> None:
    """60 % of 1000 lost: 400 left in place of 500, so a new one costs 100 more over the years; limit 600."""
    quote = a_quote(value_a_new_one_loses=D("0.6"))
    _, cost, limit, closing = rows_of(quote)
    assert cost[1:] == ["150.00", "650.00", "650.00"]
    assert limit == ["The repair is worth up to $600.00 to you; the cheaper way", "Repair", "Close call"]
    assert "of a new one $30.00; a new one loses 60% of its price; years yours could last: 10." in closing[0]
    words = page_text(quote)
    assert "A new one loses 60% of its price" in words
    assert "up to what a new one loses and what yours is then worth, both together, less" in words
    assert "half of what a new one" not in words


def test_the_short_formula_gives_the_limit() -> None:
    """In words for other numbers: 600 + 200 - 100 - 5 x 20."""
    found = a_quote(value_a_new_one_loses=D("0.6")).tiers[0].repair_or_replace
    assert found is not None and found.used_value_then == 200
    assert found.limit == 600 + found.used_value_then - 100 - 5 * 20


def test_nothing_is_told_of_a_loss_that_is_not_given() -> None:
    for words in (text_of(a_quote()), page_text(a_quote())):
        assert "loses" not in words


def amount_words(answer: str) -> str:
    return f"${answer}" if answer[:1].isdigit() else answer


def test_the_page_has_no_table_where_nothing_is_known() -> None:
    quote = a_quote(**dict.fromkeys(OTHERS, None) | {"new_price": D(1000)})
    assert "<table" not in replace_part(quote)
    assert "Nothing can be said yet without" in page_text(quote)


def test_it_stands_on_the_quote_and_each_page_break_leaves_it_whole() -> None:
    rows = lay_out_customer_quote(a_quote()).sheets[0].rows
    start = next(at for at, row in enumerate(rows) if said(row, "Repair or replace: your decision"))
    end = next(at for at, row in enumerate(rows) if said(row, "Counted with: a new one"))
    assert 0 < end - start < 5
    assert not any(row.break_before for row in rows[start + 1 : end + 1])


def said(row: Row, words: str) -> bool:
    return any(isinstance(cell.content, str) and words in cell.content for cell in row.cells)


@pytest.mark.parametrize("number", ["2611-01", "2611-02", "2611-03", "2611-05", "2611-06"])
def test_the_example_shows_it_on_two_pages(number: str) -> None:
    """Without photos; with them see tests/workbook/test_printed_pages.py."""
    _, quote = quoted(number)
    rows = lay_out_customer_quote(quote).sheets[0].rows
    assert any(said(row, "Repair or replace: your decision") for row in rows)
    assert pages_of(rows) <= 2


def test_the_example_has_all_three_words() -> None:
    found = {number: words_of(quoted(number)[1]) for number in ("2611-01", "2611-03", "2611-04", "2611-06")}
    assert found == {
        "2611-01": ["repair", "repair", "close call"],
        "2611-03": ["close call", "close call"],
        "2611-04": [],
        "2611-06": ["replace", "replace"],
    }


def words_of(quote: Quote) -> list[str]:
    every = [tier.repair_or_replace for tier in quote.offered if tier.repair_or_replace is not None]
    return [found.word or "" for found in every]


def test_it_follows_no_choice() -> None:
    """Its cells hold plain values: they stand for the option as offered, and say so."""
    rows = list(replace_rows(a_quote(), Grid(options=2)))
    cells: list[Cell] = [cell for row in rows for cell in row.cells]
    assert all(cell.formula == "" for cell in cells)


def test_money_follows_the_shops_language() -> None:
    quote = a_quote()
    german = replace(quote, book=replace(quote.book, settings=replace(quote.book.settings, language="de_DE")))
    assert "1.000,00" in text_of(german)
