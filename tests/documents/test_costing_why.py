"""The costing's sheet of reasons and their JSON, from quotes of the engine; the customer's documents have none."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal as D
from typing import Any, cast

from hypothesis import given, settings

from quotekit.documents.costing import lay_out_costing, sheet_names
from quotekit.documents.costing_style import WIDEST
from quotekit.documents.costing_why import WIDTHS, lay_out_why
from quotekit.documents.customer_quote import lay_out_customer_quote
from quotekit.documents.page_layout import lay_out_page
from quotekit.documents.quote_json import lay_out_quote_json, tier_json
from quotekit.documents.sheet import Sheet
from quotekit.documents.why_json import why_json
from quotekit.documents.why_words import reason, together, turns, would_do
from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from quotekit.workbook.write_sheet import workbook_bytes
from tests import build
from tests.random_jobs import Case, cases


def two_ways(*tiers: Any, **values: Any) -> ShopBook:
    """PATCH is 50.00 for two years; NEW half an hour and a ring at 15.00 for nine."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        "parts": [build.a_part("RING", 10)],
        "findings": [build.a_finding("WORN")],
        "remedies": [
            build.a_remedy("PATCH", ["WORN"], ["HALF"], life_years=2, remedy="Patched"),
            build.a_remedy("NEW", ["WORN"], ["HALF"], parts="RING", life_years=9, remedy="New ring"),
        ],
        "tiers": list(tiers) or [build.a_tier("good"), build.a_tier("best", aim="longest life")],
    }
    return build.a_book(**(named | values))


def quote_of(book: ShopBook, **job: Any) -> Quote:
    return build_quote(book, build.a_job(build.a_finding_on("WORN"), **job))


def texts(sheet: Sheet) -> list[list[str]]:
    """The filled cells of each row as text."""
    rows = [[str(cell.content) for cell in row.cells if cell.content is not None] for row in sheet.rows]
    return [row for row in rows if row]


def test_the_sheet_by_hand() -> None:
    """Patched at 50.00 comes round at 2 and 4: 150.00; a new ring is 65.00 once."""
    rows = texts(lay_out_why(quote_of(two_ways()), "Why"))
    assert rows[0] == ["Why these options"]
    assert (
        rows[2:8]
        == [
            ["Good (good)"],
            [
                "It goes by the lowest price. Its work comes to 50.00 today and 150.00 over 5 years; "
                "the first repair to wear out lasts 2 years."
            ],
            ["Taken", "Best alternative", "It costs today", "Over 5 years", "Why"],
            [
                "Patched (PATCH)",
                "New ring (NEW)",
                "15.00 more",
                "85.00 less",
                "15.00 cheaper today. NEW would cost 85.00 less over 5 years, "
                "but this option goes by the lowest price.",
            ],
            ["What would change it:", "No price of Ring (RING) is low enough for NEW; it is 15.00 now."],
            ["NEW would be taken if Half (HALF) took 0.61 h or more, now 0.5 h."],
        ]
        or rows[7] != []
    )
    best = rows[rows.index(["Best (best)"]) :]
    assert best[3][:4] == ["New ring (NEW)", "Patched (PATCH)", "15.00 less", "85.00 more"]
    assert best[3][4].startswith("The first repair to wear out lasts 5 years or more; with PATCH it would be 2 years.")


def test_a_tier_that_is_kept_back_is_compared_in_figures() -> None:
    """Inside a minimum of two hours both come to 200.00, and the second fixes the belt too."""
    book = two_ways(
        build.a_tier("good", ["needed"]),
        build.a_tier("better", ["needed", "advised"]),
        settings=build.settings(minimum_labour_hours=2),
        findings=[build.a_finding("WORN"), build.a_finding("BELT", "advised")],
        remedies=[build.a_remedy("PATCH", ["WORN"], ["HALF"]), build.a_remedy("BELTED", ["BELT"], ["HOUR"])],
    )
    quote = build_quote(book, build.a_job(build.found(book, "WORN"), build.found(book, "BELT")))
    rows = texts(lay_out_why(quote, "Why"))
    assert [row for row in rows if row[0] == "Work"] == [["Work", "200.00", "200.00"]]
    assert ["Puts right", "1 fault", "2 faults, also BELT"] in rows
    assert ["It would be offered if its work cost 0.01 less."] in rows
    assert any(row[0].startswith("Not offered: Better costs no more") for row in rows)


def test_the_sheet_stands_behind_the_tiers_and_its_name_is_taken() -> None:
    value = lay_out_costing(quote_of(two_ways()))
    names = [sheet.name for sheet in value.sheets]
    assert names[2:5] == ["Good", "Best", "Why these options"]
    assert sheet_names(["Why these options"]) == ["Why these options 2"]
    assert sum(WIDTHS) <= WIDEST


def test_without_reasons_there_is_no_sheet_and_null_in_the_json() -> None:
    quote = quote_of(two_ways())
    bare = replace(quote, tiers=tuple(replace(tier, why=None) for tier in quote.tiers))
    assert "Why these options" not in [sheet.name for sheet in lay_out_costing(bare).sheets]
    assert [tier["why"] for tier in cast(Any, lay_out_quote_json(bare))["tiers"]] == [None, None]
    assert ["No reasons were worked out."] in texts(lay_out_why(bare, "Why"))


def test_a_single_reason_in_json() -> None:
    tier = quote_of(two_ways()).tiers[0]
    value = cast(dict[str, Any], tier_json(tier, 2)["why"])
    assert (value["aim"], value["planned"], value["horizon"], value["missing"]) == ("lowest price", False, "5", None)
    assert value["figures"] == {
        "work": "50.00", "over_years": "150.00", "shortest_life": "2", "lives_together": "2", "operations": 1,
    }  # fmt: skip
    (entry,) = value["remedies"]
    assert (entry["remedy"], entry["standing"], entry["choices"]) == ("PATCH", "compared", 2)
    assert entry["alternative"] == {
        "takes": ["NEW"],
        "drops": ["PATCH"],
        "leaves": [],
        "today": "15.00",
        "over_years": "-85.00",
        "no_life": [],
        "decided_by": "lowest price",
        "figures": {
            "work": "65.00", "over_years": "65.00", "shortest_life": "5", "lives_together": "5", "operations": 1,
        },
    }  # fmt: skip
    assert entry["break_even"][0] == {
        "figure": "price of the alternative",
        "of": "RING",
        "now": "15.00",
        "wins_at": None,
        "step": "0.01",
        "tried": "0.01",
        "then": [],
        "among": "every choice",
        "pack_cost": None,
        "pack_cost_now": None,
        "cell": None,
    }
    assert entry["would_change"][0].startswith("No price of Ring (RING)")


@given(cases())
@settings(max_examples=30)
def test_the_json_says_what_the_sheet_says(case: Case) -> None:
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    rows = texts(lay_out_why(quote, "Why"))
    said = " ".join(word for row in rows for word in row)
    for tier in quote.tiers:
        assert tier.why is not None
        value = cast(dict[str, Any], why_json(tier.why, 2))
        assert json.loads(json.dumps(value)) == value
        assert [one["remedy"] for one in value["remedies"]] == [one.remedy.key for one in tier.why.remedies]
        for entries in together(tier.why):
            for words in (*reason(entries, tier.why).split(" "), *" ".join(turns(entries)).split(" ")):
                assert words in said
        for words in would_do(tier.why.missing) if tier.why.missing else ():
            assert all(word in said for word in words.split(" "))
        assert all(D(one["alternative"]["today"]) is not None for one in value["remedies"] if one["alternative"])


def test_the_customers_documents_have_none_of_it() -> None:
    """The same bytes with the reasons and without."""
    quote = quote_of(two_ways())
    bare = replace(quote, tiers=tuple(replace(tier, why=None) for tier in quote.tiers))
    assert workbook_bytes(lay_out_customer_quote(quote)) == workbook_bytes(lay_out_customer_quote(bare))
    assert lay_out_page(quote, "check") == lay_out_page(bare, "check")


def test_remedies_that_were_not_compared_are_named_in_one_sentence() -> None:
    """A hundred rows that say `none` would look as if a hundred searches had found nothing."""
    quote = quote_of(two_ways())
    tier = quote.tiers[0]
    assert tier.why is not None
    (told,) = tier.why.remedies
    bare = replace(told, standing="not compared", alternative=None, break_even=())
    why = replace(tier.why, remedies=(bare, replace(bare, remedy=replace(bare.remedy, key="OTHER"))))
    rows = texts(lay_out_why(replace(quote, tiers=(replace(tier, why=why),)), "Why"))
    assert ["Taken by what this option goes by; not compared one by one: PATCH, OTHER."] in rows
    assert not any("none" in row or "Taken" in row for row in rows)


def test_one_that_was_not_compared_is_never_said_to_have_no_alternative() -> None:
    """What else is known of it keeps its row."""
    quote = quote_of(two_ways())
    tier = quote.tiers[0]
    assert tier.why is not None
    (told,) = tier.why.remedies
    bare = replace(told, standing="not compared", alternative=None, break_even=(), done_by_larger_work=True)
    rows = texts(lay_out_why(replace(quote, tiers=(replace(tier, why=replace(tier.why, remedies=(bare,))),)), "Why"))
    assert any("not compared" in row for row in rows) and not any("none" in row for row in rows)
