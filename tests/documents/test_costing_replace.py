"""Repair or replace on the costing: every line of both sums adds up, each input has its cell, the sunk fee is named."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.costing import lay_out_costing, sheet_names
from quotekit.documents.costing_replace import lay_out_replace
from quotekit.documents.sheet import Sheet
from quotekit.model.quote import Quote
from quotekit.pricing import build_quote
from quotekit.workbook.write_sheet import workbook_bytes
from tests.documents.test_customer_replace import OTHERS
from tests.examples.test_built_examples import quoted
from tests.pricing.test_repair_or_replace import tiers_of_two

EXAMPLES = ["2611-01", "2611-02", "2611-03", "2611-05", "2611-06"]


def laid_out(quote: Quote) -> Sheet:
    sheet = lay_out_replace(quote, "Repair or replace")
    assert sheet is not None
    return sheet


def a_sheet(**job: Any) -> Sheet:
    book, asked, _ = tiers_of_two(**job)
    return laid_out(build_quote(book, asked))


def table(sheet: Sheet, title: str) -> dict[str, list[Any]]:
    """Rows under a heading by their label, as far as the next heading."""
    found: dict[str, list[Any]] = {}
    inside = False
    for row in sheet.rows:
        first, *others = row.cells
        if first.style == "section":
            inside = first.content == title
        elif inside and isinstance(first.content, str):
            found[first.content] = [cell.content for cell in others]
    return found


def every_text(sheet: Sheet) -> str:
    return " ".join(str(cell.content) for row in sheet.rows for cell in row.cells if cell.content is not None)


@pytest.mark.parametrize("number", EXAMPLES)
def test_both_sums_add_up_line_by_line(number: str) -> None:
    """A shop owner adds the column up and gets the total, to the cent."""
    sheet = laid_out(quoted(number)[1])
    keep, other = table(sheet, "To keep it"), table(sheet, "To replace it")
    for column in range(len(keep["Repair total"])):
        lines = [values[column] for values in keep.values()]
        assert lines[0] + lines[1] == lines[2]
        assert sum(lines[2:5]) == lines[5]
        lines = [values[column] for values in other.values()]
        assert sum(lines[:4]) == lines[4]
        difference = table(sheet, "What follows")["Cost to replace less cost to keep"][column]
        assert difference == lines[4] - keep["Cost to keep"][column]


def test_by_hand() -> None:
    sheet = a_sheet()
    assert table(sheet, "To keep it")["Cost to keep"] == [D("150.00"), D("650.00")]
    assert table(sheet, "To replace it")["Cost to replace"] == [D("550.00"), D("550.00")]
    follows = table(sheet, "What follows")
    assert follows["The word"] == ["repair", "close call"]
    assert follows["The repair limit: worth up to"] == [D("500.00")] * 2
    assert follows["The same against a sound used one"] == [D("300.00")] * 2
    assert follows["A close call up to, a tenth of the new price"] == [D("100.00")] * 2
    assert follows["The limit where a new one keeps its value best, and worst"][0] == "200.00 to 800.00"


def test_the_sunk_fee_is_named_as_left_out() -> None:
    """45.00 with its credit, as the example's shop has it; what a no would cost is named too."""
    sheet = laid_out(quoted("2611-03")[1])
    assert table(sheet, "Left out of both sums")["Inspection fee: the look is done, it is sunk"][0] == D("45.00")
    assert table(sheet, "Left out of both sums")["Its credit"][0] == D("-45.00")
    assert table(sheet, "Left out of both sums")["Putting it back together after a no"][0] == "76.00"
    assert table(sheet, "To keep it")["Inspection with its credit and tax, left out"][0] == 0


def test_no_note_stands_on_a_page_without_the_table_above_it() -> None:
    """An example's last note once had a page to itself."""
    rows = a_sheet().rows
    title = next(
        at for at, one in enumerate(rows) if any(cell.content == "Left out of both sums" for cell in one.cells)
    )
    assert all(one.keep_with_next for one in rows[title:-1])


def test_a_fee_that_is_kept_comes_off_the_total() -> None:
    """45.00 on a total of 145.00: the repair is the 100.00 of work."""
    keep = table(a_sheet(inspection_fee=45), "To keep it")
    assert [values[0] for values in keep.values()][:3] == [D("145.00"), D("-45.00"), D("100.00")]


def test_each_value_has_its_cell() -> None:
    values = table(laid_out(quoted("2611-01")[1]), "What it is counted with (USD, tax included)")
    assert values["New price"] == [D("1899.00"), "job Job!B28"]
    assert values["Years it could last"][0] == 12
    assert values["Years to compare"] == [5, "Shop!B29"]


@pytest.mark.parametrize(
    ("loses", "told", "replaced", "limit", "spread"),
    [(None, "the middle", "550.00", "500.00", True), (D("0.6"), "60%", "650.00", "600.00", False)],
)
def test_what_a_new_one_loses(loses: D | None, told: str, replaced: str, limit: str, spread: bool) -> None:
    """Blank is no missing value; typed, it stands in place of the middle and of the spread about it."""
    sheet = a_sheet(value_a_new_one_loses=loses)
    assert table(sheet, "What it is counted with (USD, tax included)")["Value a new one loses"][0] == told
    assert table(sheet, "To replace it")["Cost to replace"] == [D(replaced)] * 2
    follows = table(sheet, "What follows")
    assert follows["The repair limit: worth up to"] == [D(limit)] * 2
    assert ("The limit where a new one keeps its value best, and worst" in follows) == spread
    assert ("is typed on the job, in place of the middle" in every_text(sheet)) != spread
    assert "missing" not in every_text(sheet)


def test_what_a_new_one_loses_has_its_cell() -> None:
    """The example types none, and its row is there to be typed into."""
    values = table(laid_out(quoted("2611-01")[1]), "What it is counted with (USD, tax included)")
    said, place = values["Value a new one loses"]
    assert said == "the middle" and place.startswith("job Job!B")


@pytest.mark.parametrize("name", OTHERS)
def test_what_a_missing_value_would_decide(name: str) -> None:
    sheet = a_sheet(**{name: None})
    waiting = table(sheet, "What a missing value would decide")
    assert len(waiting) == 2 or list(waiting) == ["Every option"]
    assert all("whatever" in words[0] or ": " in words[0] for words in waiting.values())
    assert "missing" in every_text(sheet)


def test_what_holds_for_every_option_is_said_once() -> None:
    """With nearly all of it missing each option waits for the same values."""
    bare = dict.fromkeys(("used_value_working", "value_as_it_stands", "upkeep_after_repair", "upkeep_new"))
    waiting = table(a_sheet(**bare), "What a missing value would decide")
    assert list(waiting) == ["Every option"]
    assert waiting["Every option"][0].startswith("nothing can be said without ")


def test_values_that_contradict_are_said_to() -> None:
    assert "Used value working is above New price" in every_text(a_sheet(used_value_working=D(2000)))


def test_the_costing_has_the_sheet_where_it_is_asked_for() -> None:
    """Before the inputs; no tier's sheet takes its name."""
    names = [sheet.name for sheet in lay_out_costing(quoted("2611-01")[1]).sheets]
    assert names.index("Repair or replace") == names.index("Inputs") - 1
    assert "Repair or replace" not in [sheet.name for sheet in lay_out_costing(quoted("2611-04")[1]).sheets]
    assert sheet_names(["Repair or replace"]) == ["Repair or replace 2"]


def test_it_can_be_written() -> None:
    """With every value missing in turn, and with a tier that is not offered."""
    for name in OTHERS:
        book, asked, _ = tiers_of_two(**{name: None})
        assert workbook_bytes(lay_out_costing(build_quote(book, asked))).startswith(b"PK")
    quote = quoted("2611-02")[1]
    assert "(not offered)" in every_text(laid_out(quote))
    assert lay_out_replace(replace(quote, tiers=()), "Repair or replace") is None
