"""One option on one sheet of the costing: what is done, what was found, the years, the shares and the extras.

FIT takes half an hour behind a cover of half an hour and a seal at 15.00: 115.00 in all.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.costing_tier import lay_out_tier, measured_words
from quotekit.documents.sheet import Row
from quotekit.model.job import FoundFinding
from quotekit.model.quote import PricedTier, Quote
from quotekit.pricing import build_quote
from tests import build
from tests.pricing.explain.small import a_shop, job_of, typed


def a_quote(book: Any = None, **job: Any) -> Quote:
    book = book or a_shop()
    return build_quote(typed(book), typed(job_of(book, **job)))


def said(row: Row) -> list[str]:
    return [str(cell.content) for cell in row.cells if cell.content not in (None, "")]


def rows(quote: Quote, **changed: Any) -> list[list[str]]:
    """The sheet of the first option, changed, as texts without the blank cells."""
    tier = replace(quote.tiers[0], **changed)
    return [said(row) for row in lay_out_tier(replace(quote, tiers=(tier,)), tier, "Good").rows]


def under(title: str, table: list[list[str]]) -> list[list[str]]:
    """The rows of a section, below its title and its column titles."""
    at = table.index([title])
    end = next((n for n in range(at + 1, len(table)) if table[n] == []), len(table))
    return table[at + 1 : end]


def test_the_top_says_which_option_it_is_and_whether_it_is_offered() -> None:
    assert rows(a_quote())[:2] == [["Good (good)"], ["Offered to the customer."]]
    assert rows(a_quote(), offered=False, reason="it is the same work")[1] == ["Not offered: it is the same work"]
    assert rows(a_quote(), offered=False, reason=None)[1] == ["Not offered: no reason is recorded"]


def test_how_it_was_chosen() -> None:
    """By its aim, in the cell of its row; or by the technician."""
    assert rows(a_quote())[2][0].startswith("Aim: lowest price (good!Aim 1). ")
    assert rows(a_quote(), planned=True)[2] == ["Its items are the technician's own choice, on the job's Plan sheet."]
    quote = build_quote(book := a_shop(), job_of(book))
    assert rows(quote)[2][0].startswith("Aim: lowest price. "), "a book that was not read from a file has no cell"


def test_an_item_with_its_life_and_warranty() -> None:
    remedy = build.a_remedy("NEW", ["WORN"], ["FIT"], leaves="the old shaft", warranty_days=90)
    quote = a_quote(a_shop(remedies=[remedy]))
    assert under("What is done", rows(quote))[1:] == [["New (NEW)", "replace", "WORN", "5", "90", "the old shaft"]]


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"life_years": None}, ["5", "not stated"]),
        ({"warranty_days": None}, ["none"]),
        ({"asked": True}, ["the customer asked for it"]),
        ({"done_by_larger_work": True}, ["done by larger work"]),
        (
            {"leaves": "a groove", "asked": True, "done_by_larger_work": True},
            ["a groove; the customer asked for it; done by larger work"],
        ),
    ],
)
def test_what_else_is_said_of_an_item(changed: dict[str, Any], words: list[str]) -> None:
    quote = a_quote()
    item = replace(quote.tiers[0].items[0], **changed)
    (row,) = under("What is done", rows(quote, items=(item,)))[1:]
    assert words[-1] in row


def test_an_option_in_which_nothing_is_done() -> None:
    assert under("What is done", rows(a_quote(), items=())) == [["Nothing."]]


FOUND = FoundFinding(code="WORN", name="Worn", severity="needed")


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({}, "judged, not measured"),
        ({"measured": D("1.90"), "unit": "mm"}, "1.9 mm; no limit, so judged"),
        ({"measured": D("1.9")}, "1.9; no limit, so judged"),
        (
            {"measured": D("1.9"), "unit": "mm", "limit": D("1.20"), "fails_when": "above"},
            "1.9 mm; fails above 1.2 mm",
        ),
        (
            {"measured": D("1"), "unit": "mm", "limit": D("1.2"), "fails_when": "above", "fault": False},
            "1 mm; fails above 1.2 mm; passes",
        ),
        ({"measured": D("1.9"), "unit": "mm", "limit": D("1.2")}, "1.9 mm; fails past 1.2 mm"),
        (
            {"measured": D("1.905"), "measured_text": "0.075 in", "unit": "mm", "limit": D("1.2")},
            "0.075 in (1.905 mm); fails past 1.2 mm",
        ),
        ({"measured": D("1.9"), "measured_text": "1.9 mm", "unit": "mm"}, "1.9 mm; no limit, so judged"),
        ({"measured": D("2") / D("3"), "measured_text": "2/3", "unit": "in"}, "2/3 (0.6667 in); no limit, so judged"),
    ],
)
def test_a_measurement_beside_its_limit(values: dict[str, Any], words: str) -> None:
    """As it was typed; in the unit of the finding where it was typed in another."""
    assert measured_words(replace(FOUND, **values)) == words


@pytest.mark.parametrize(
    ("changed", "finding", "fate"),
    [
        ({}, {}, "fixed"),
        ({"fixed": (), "left": ("WORN",)}, {}, "left"),
        ({"fixed": (), "left": ()}, {"fault": False}, "within its limit"),
        ({"fixed": (), "left": ()}, {}, "not in question"),
    ],
)
def test_what_becomes_of_a_finding(changed: dict[str, Any], finding: dict[str, Any], fate: str) -> None:
    quote = a_quote()
    job = replace(quote.job, findings=(replace(quote.job.findings[0], note="see photo", **finding),))
    (row,) = under("What was found", rows(replace(quote, job=job), **changed))[1:2]
    assert row[:4] == ["Worn (WORN)", "needed", "judged, not measured", fate] and row[-1] == "see photo"


@pytest.mark.parametrize(
    ("lives", "words"), [({"WORN": D("2.50")}, ["2.5"]), ({"WORN": None}, ["not stated"]), ({}, [])]
)
def test_how_long_a_finding_is_put_right_for(lives: dict[str, D | None], words: list[str]) -> None:
    row = under("What was found", rows(a_quote(), lives=lives))[1]
    assert row[4:] == words


def test_safety_findings_that_are_left_are_said_loudly() -> None:
    assert ["Safety findings left: WORN, BENT."] in rows(a_quote(), safety_left=("WORN", "BENT"))
    assert not any(row and row[0].startswith("Safety findings left") for row in rows(a_quote()))


def test_an_option_that_could_not_be_worked_out_has_no_figures() -> None:
    table = rows(a_quote(), priced=False)
    assert table[-1] == ["It could not be worked out, so it has no figures."]
    assert not any(row and row[0].startswith(("Over ", "Fair share", "Ready")) for row in table)


def test_the_cost_over_the_years_at_the_shops_interest() -> None:
    book = a_shop(settings=build.settings(years_to_compare=7, interest_a_year="0.045"))
    found = next(row for row in rows(a_quote(book)) if row and row[0].startswith("Over "))
    again = D("115") / D("1.045") ** 5
    assert found[0] == "Over 7 years at 4.5 % a year: this work and its renewals"
    assert D(found[1]) == (115 + again).quantize(D("0.01")), "five years of life: once more in seven"


def lines(tier: PricedTier, **changed: Any) -> tuple[Any, ...]:
    """The seal's line with another wait."""
    return (replace(tier.part_lines[0], **changed),)


@pytest.mark.parametrize(
    ("days", "line", "words"),
    [
        (5, {}, "Ready in 5 working days: 3 for Seal (SEAL), and 2 of queue."),
        (6, {}, "Ready in 6 working days: 4 for work sent out, and 2 of queue."),
        (2, {"ordered": False}, "Ready in 2 working days: 0 for the queue alone, and 2 of queue."),
        (2, {"lead_days": 0}, "Ready in 2 working days: 0 for the queue alone, and 2 of queue."),
        (5, {"ordered": False}, "Ready in 5 working days: 3 for work sent out, and 2 of queue."),
        (None, {}, "Ready: not known, an ordered part has no lead days."),
    ],
)
def test_what_the_days_hang_on(days: int | None, line: dict[str, Any], words: str) -> None:
    """Two days of queue; the seal takes three to come."""
    quote = a_quote(a_shop(settings=build.settings(queue_days=2)))
    assert [words] in rows(quote, ready_days=days, part_lines=lines(quote.tiers[0], **line))


def test_of_several_parts_the_slowest_are_named() -> None:
    quote = a_quote(a_shop(settings=build.settings(queue_days=2)))
    seal = quote.tiers[0].part_lines[0]
    parts = tuple(replace(seal, part=code, name=code.title(), lead_days=days) for code, days in
                  (("A", 9), ("B", 3), ("C", 9)))  # fmt: skip
    assert ["Ready in 11 working days: 9 for A (A), C (C), and 2 of queue."] in rows(
        quote, ready_days=11, part_lines=parts
    )


def test_each_items_fair_share() -> None:
    """An hour, 100.00, and the seal: all is NEW's."""
    table = rows(a_quote())
    title = next(row for row in table if row and row[0].startswith("Fair share"))
    head, new = under(title[0], table)
    assert head == ["Item", "Hours", "Labour", "Parts", "Sublet", "Together"]
    assert (new[0], D(new[1]), new[2:]) == ("NEW", 1, ["100.00", "15.00", "0.00", "115.00"])


def test_what_is_offered_beside_it() -> None:
    """CLEAN takes 0.2 h: 20.00 more, 135.00 together; nothing else is offered."""
    book = a_shop(
        operations=[
            build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL"),
            build.an_operation("WIPE", "0.2"),
        ],
        extras=[build.an_extra("CLEAN", ["WIPE"])],
    )
    found = under("Offered beside it", rows(a_quote(book, extras=[build.a_job_extra("CLEAN")])))
    assert found[1][0] == "Clean (CLEAN)" and found[1][1].startswith("extra: ")
    assert found[1][2:] == ["20.00", "20.00", "135.00", "0.00", "135.00"]
    assert found[2] == ["The customer's quote prints `At most`: together extras never cost more than its sum."]
    assert under("Offered beside it", rows(a_quote())) == [["Nothing is offered beside it."]]


@pytest.mark.parametrize(
    ("title", "columns"),
    [
        ("What is done", ["Item", "Kind", "Puts right", "Life, years", "Warranty, days", "Leaves, and remarks"]),
        (
            "What was found",
            ["Finding", "Severity", "Measured and limit", "In this tier", "Life, years", "Note"],
        ),
    ],
)
def test_the_titles_of_a_table(title: str, columns: list[str]) -> None:
    assert under(title, rows(a_quote()))[0] == columns


def test_every_row_fills_the_ten_columns() -> None:
    """What stands beside nothing would leave a hole in the frame."""
    quote = a_quote()
    sheet = lay_out_tier(quote, quote.tiers[0], "Good")
    wide = {sum(cell.across for cell in row.cells) for row in sheet.rows if len(row.cells) > 1}
    assert wide == {10} and len(sheet.widths) == 10
