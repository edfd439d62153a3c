"""The sheet "Over the years": figures of the engine, each tier's table adds up, and what it says where it can't."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.costing_years import lay_out_years
from quotekit.model.quote import Quote
from tests import build
from tests.pricing.test_years_sensitivity import quoted, two_tiers


def rows_of(quote: Quote) -> list[list[Any]]:
    """What the rows hold, blanks left out."""
    laid_out = lay_out_years(quote, "Over the years")
    assert laid_out is not None
    return [[cell.content for cell in line.cells if cell.content is not None] for line in laid_out.rows]


def test_each_tier_has_its_table() -> None:
    rows = rows_of(quoted(two_tiers()))
    at = rows.index(["Good (good)"])
    assert rows[at + 1 : at + 6] == [
        ["What", "After years", "Times", "Each time", "Worth today"],
        ["The work of this tier", "today", 1, Decimal("100.00"), Decimal("100.00")],
        ["Short (SHORT)", "2 and 4", 2, Decimal("100.00"), Decimal("200.00")],
        ["Cost over 5 years", Decimal("300.00")],
        ["The same a year", Decimal("60.00")],
    ]
    at = rows.index(["Better (better)"])
    assert rows[at + 5] == ["Last the years compared: Long (LONG)."]


def test_the_table_adds_up_with_interest() -> None:
    """100 + 100 / 1.04 ** 2 + 100 / 1.04 ** 4 = 277.94; a year x A/P 0.224627 = 62.43."""
    rows = rows_of(quoted(two_tiers(settings=build.settings(interest_a_year="0.04"))))
    at = rows.index(["Good (good)"])
    assert rows[at + 2][-1] + rows[at + 3][-1] == rows[at + 4][-1] == Decimal("277.94")
    assert rows[at + 5] == ["The same as a level amount a year, at 4%", Decimal("62.43")]


def test_tiers_side_by_side_over_fewer_years() -> None:
    rows = rows_of(quoted(two_tiers()))
    at = rows.index(["What each comes to over fewer years"])
    assert rows[at + 1] == ["Years compared", "Good", "Better"]
    assert rows[at + 2] == ["today", Decimal("100.00"), Decimal("260.00")]
    assert rows[at + 7] == ["5", Decimal("300.00"), Decimal("260.00")]


def test_the_sentences_and_the_caution_are_there() -> None:
    said = [row[0] for row in rows_of(quoted(two_tiers())) if row]
    assert "By cost over the years, the least first: Better, Good." in said
    assert any(words.startswith("All lives from 50% to 200%") for words in said)
    assert any("estimates, not guarantees" in words for words in said)


def test_a_blank_life_is_named_in_place_of_figures() -> None:
    remedies = dict(two_tiers().remedies)
    remedies["SHORT"] = replace(remedies["SHORT"], life_years=None)
    rows = rows_of(quoted(two_tiers(remedies=list(remedies.values()), tiers=[build.a_tier("good")])))
    at = rows.index(["Good (good)"])
    assert rows[at + 1] == [
        "No figures: no Life years is stated for Short (SHORT), so nobody knows when it comes round."
    ]


def test_over_no_years_there_is_no_amount_a_year() -> None:
    assert ["Over no years there is no cost a year."] in rows_of(quoted(two_tiers(), years_to_compare=0))


def test_many_repeats_are_said_in_short() -> None:
    book = two_tiers(remedies=[build.a_remedy("SHORT", ["WORN"], ["PATCH"], life_years="0.25")])
    rows = rows_of(quoted(book))
    assert ["Short (SHORT)", "every 0.25 up to 4.75", 19, Decimal("100.00"), Decimal("1900.00")] in rows


def test_it_is_a_sheet_of_the_costing_and_no_tier_takes_its_name() -> None:
    """Where no tier could be worked out there is none."""
    book = two_tiers(tiers=[build.a_tier("good", tier="Over the years")])
    names = [sheet.name for sheet in lay_out_costing(quoted(book)).sheets]
    assert "Over the years" in names and "Over the years 2" in names
    assert lay_out_years(replace(quoted(book), tiers=()), "Over the years") is None


def test_only_what_is_offered_is_shown_unless_nothing_is() -> None:
    quote = quoted(two_tiers())
    hidden = replace(quote.tiers[0], offered=False, reason="a test")
    assert ["Good (good)"] not in rows_of(replace(quote, tiers=(hidden, quote.tiers[1])))
    assert ["Good (good), not offered"] in rows_of(replace(quote, tiers=(hidden,), sensitivity=None))
