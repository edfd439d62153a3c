"""A returned quote: what was chosen in every form, and every cell that differs."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from openpyxl.workbook import Workbook
from openpyxl.workbook.defined_name import DefinedName

from quotekit.documents.content_changes import changes_of
from quotekit.workbook.read_returned import MOST_LISTED, read_quote, read_returned
from tests.workbook.returned import (
    BELT,
    BUSHING,
    TOO_LATE,
    address_of,
    box_of,
    changed,
    codes,
    read,
    renamed,
    returned,
    sent,
    with_part,
    without_value,
)

TIER = "chosen_tier"
YES = [True, 1, 1.0, "=TRUE()", "=TRUE", "=1=1", "☑", "✓", "X", "yes", "YES ", "TRUE", "WAHR", "Sí", "Да"]
NO = [None, False, 0, "=FALSE()", "☐", "No", "FALSE", "Nein", " "]
UNCLEAR = ["perhaps", 2, "?", "=NA()", "#N/A", "#REF!", "yes and no", "y*", "✗", "=1/0"]
COUNTED = [True, 1, 1.0, "=TRUE()", "=TRUE", "=1=1", "☑", "Yes", "yes"]


def test_as_it_was_sent_nothing_is_chosen(tmp_path: Path) -> None:
    choice, problems = read(sent(tmp_path))
    assert problems == [("no-option-chosen", address_of(TIER))]
    assert (choice.tier, choice.extras, choice.unchanged, choice.changed) == (None, (), True, ())
    assert (choice.job_number, choice.version) == ("117", 1)
    assert (str(choice.quote_date), str(choice.valid_until), choice.expired) == ("2026-11-20", "2026-12-20", False)
    assert len(choice.fingerprint) == 64


def test_a_choice_is_read(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "Put right", BELT: "☑", BUSHING: "Yes"}))
    assert (choice.tier, choice.option, choice.extras) == ("good", "Put right", ("BELT-NEW", "BUSHING-OFFER@right"))
    assert choice.unchanged and problems == []


@pytest.mark.parametrize("value", YES, ids=repr)
def test_a_tick_in_every_form(value: object, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", BUSHING: value}))
    assert choice.extras == ("BUSHING-OFFER@right",)
    assert choice.unchanged
    assert problems == ([] if value in COUNTED else [("tick-not-counted", address_of(BUSHING))])


@pytest.mark.parametrize("value", NO, ids=repr)
def test_no_tick_in_every_form(value: object, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", BUSHING: value}))
    assert (choice.extras, choice.unchanged, problems) == ((), True, [])


@pytest.mark.parametrize("value", UNCLEAR, ids=repr)
def test_what_is_neither_is_a_problem_at_its_cell(value: object, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", BUSHING: value}))
    assert (choice.extras, choice.unchanged) == ((), True)
    assert problems == [("unknown-tick", address_of(BUSHING))]


@pytest.mark.parametrize(
    ("value", "tier", "followed"),
    [
        ("Put right and prevent", "better", True), ("better", "better", True), ("Option 2", "better", True),
        (" put  RIGHT and prevent ", "better", False), ("BETTER", "better", False), ("option 1", "good", False),
        ('="good"&""', None, False),
    ],
)  # fmt: skip
def test_an_option_by_name_code_or_number(value: str, tier: str | None, followed: bool, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: value}))
    assert choice.tier == tier
    assert [code for code, _ in problems] == ([] if followed else ["tick-not-counted" if tier else "unknown-option"])


@pytest.mark.parametrize(
    "value", ["g*", "go?d", "~good", "the dearest", 3, True, "Option 3", "#N/A", "not good"], ids=repr
)
def test_no_option_of_ours(value: object, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: value}))
    assert choice.tier is None
    assert problems == [("unknown-option", address_of(TIER))]


@pytest.mark.parametrize("value", ["good; better", "Option 1 and 2", "Put right / Put right and prevent", "1+2"])
def test_two_options_in_one_cell(value: str, tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: value}))
    assert choice.tier is None
    assert problems == [("two-options-ticked", address_of(TIER))]


def test_a_paper_box_of_another_option(tmp_path: Path) -> None:
    box = box_of("Option 2:")
    choice, problems = read(returned(tmp_path, {TIER: "good", box: "☑"}))
    assert choice.tier is None
    assert problems == [("two-options-ticked", box)]


def test_two_paper_boxes(tmp_path: Path) -> None:
    first, second = box_of("Option 1:"), box_of("Option 2:")
    assert read(returned(tmp_path, {first: "x", second: "x"}))[1] == [("two-options-ticked", second)]


@pytest.mark.parametrize("live", [True, False])
def test_a_paper_box_alone_is_a_choice(live: bool, tmp_path: Path) -> None:
    box = box_of("Option 2:", live)
    choice, problems = read(returned(tmp_path, {box: "x"}, live=live))
    assert (choice.tier, choice.unchanged, choice.changed) == ("better", True, ())
    assert problems == [("tick-not-counted", box)]


def test_a_paper_box_of_the_same_option_is_no_change(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", box_of("Option 1:"): "☑", box_of("Option 2:"): "☐"}))
    assert (choice.tier, choice.unchanged, problems) == ("good", True, [])


def test_the_work_is_declined(tmp_path: Path) -> None:
    box = box_of("I decline")
    choice, problems = read(returned(tmp_path, {box: "☑"}))
    assert (choice.tier, choice.unchanged, problems) == (None, True, [("work-declined", box)])
    assert read(returned(tmp_path, {TIER: "good", box: "☑"}))[1] == [("two-options-ticked", box)]


def test_a_tick_that_adds_nothing(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "better", BELT: "☑", BUSHING: "☑"}))
    assert choice.extras == ("BUSHING-OFFER@right",)
    assert problems == [("nothing-to-add", address_of(BELT))]


def test_an_expired_quote(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good"}), TOO_LATE)
    assert choice.expired and choice.tier == "good"
    assert [code for code, _ in problems] == ["quote-expired"]


def test_a_changed_price_is_named(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", "total_to_pay": 1}))
    assert choice.tier == "good"
    assert problems == [("quote-changed", address_of("total_to_pay"))]
    assert (choice.unchanged, choice.changed) == (False, (address_of("total_to_pay"),))


def test_a_changed_working_and_new_and_missing_cells(tmp_path: Path) -> None:
    typed = {TIER: "good", "quote_valid_until": 99999, "Quote!Z1": "hello", address_of("quote_shop"): None}
    choice, problems = read(returned(tmp_path, typed))
    expected = {address_of("quote_valid_until"), "Quote!Z1", address_of("quote_shop")}
    assert {place for code, place in problems if code == "quote-changed"} == expected
    assert set(choice.changed) == expected


def test_every_single_change_is_found(tmp_path: Path) -> None:
    quote, _ = read_quote(sent(tmp_path))
    assert quote is not None
    for sheet, cells in quote.content.sheets.items():
        for place, said in list(cells.items())[::7]:
            other = {**quote.content.sheets, sheet: {**cells, place: f"{said}."}}
            found = changes_of(replace(quote.content, sheets=other), quote.marks)
            assert [(cell.sheet, cell.row, cell.column) for cell in found.cells] == [(sheet, *place)]


def test_many_changes_are_counted(tmp_path: Path) -> None:
    _, problems = read(changed(tmp_path, lambda book: book["Quote"].insert_rows(2)))
    places = [place for code, place in problems if code == "quote-changed"]
    assert len(places) == MOST_LISTED + 1 and places[-1].endswith("!")


def test_sheets_pasted_in_missing_and_renamed(tmp_path: Path) -> None:
    _, problems = read(changed(tmp_path, lambda book: book.create_sheet("Other prices")))
    assert ("sheet-added", "Other prices!") in problems
    _, problems = read(changed(tmp_path, lambda book: book.copy_worksheet(book["Quote"])))
    assert ("sheet-added", "Quote Copy!") in problems
    _, problems = read(changed(tmp_path, lambda book: book.create_chartsheet("Chart")))
    assert ("sheet-added", "Chart!") in problems


def test_a_renamed_sheet(tmp_path: Path) -> None:
    path = with_part(sent(tmp_path), "xl/workbook.xml", lambda xml: renamed(xml, "My sums"))
    with_part(path, "xl/worksheets/sheet1.xml", lambda xml: renamed(xml, "My sums"))
    choice, problems = read(path)
    assert [code for code, _ in problems] == ["sheet-renamed", "no-option-chosen"]
    assert problems[0] == ("sheet-renamed", "My sums!")
    assert choice.changed == ("Working -> My sums",)


def test_a_sheet_that_is_gone(tmp_path: Path) -> None:
    def drop(book: Workbook) -> None:
        del book["Quote"]
        book["Working"].sheet_state = "visible"

    _, problems = read(changed(tmp_path, drop))
    assert ("sheet-missing", "Quote!") in problems


def test_a_name_that_was_moved_hides_nothing(tmp_path: Path) -> None:
    def move(book: Workbook) -> None:
        cell = address_of("total_to_pay").replace("Quote!", "")
        book["Quote"][cell] = 1
        book.defined_names["extra_FREE"] = DefinedName("extra_FREE", attr_text=f"Quote!${cell[0]}${cell[1:]}")

    choice, problems = read(changed(tmp_path, move))
    assert ("quote-changed", address_of("total_to_pay")) in problems
    assert set(choice.changed) == {address_of("total_to_pay"), "extra_FREE"}


def test_marks_that_cover_more_hide_nothing(tmp_path: Path) -> None:
    def widen(book: Workbook) -> None:
        book["Working"]["A3"] = "another"
        book.defined_names["content_marks"].attr_text = "Working!$A$1:$A$999"

    assert not read(changed(tmp_path, widen))[0].unchanged


def test_changed_marks_are_a_change(tmp_path: Path) -> None:
    choice, problems = read(returned(tmp_path, {TIER: "good", address_of("content_marks"): "0" * 64}))
    assert problems == [("quote-changed", address_of("content_marks"))]
    assert not choice.unchanged


def test_formulas_without_results_and_errors_elsewhere_are_no_matter(tmp_path: Path) -> None:
    path = with_part(sent(tmp_path), "xl/worksheets/sheet2.xml", without_value)
    assert read(path)[0].unchanged
    with_part(
        path, "xl/worksheets/sheet1.xml", lambda xml: xml.replace('t="str"', 't="e"').replace("<v>–</v>", "<v>#N/A</v>")
    )
    assert read(path)[0].unchanged


def test_a_quote_without_live_figures(tmp_path: Path) -> None:
    choice, problems = read(sent(tmp_path, live=False))
    assert choice.unchanged and problems == [("no-option-chosen", "!")]


@pytest.mark.parametrize("name", ["quote_number", "quote_version", "offered_options", "content_marks"])
def test_what_lacks_a_name_is_no_quote(name: str, tmp_path: Path) -> None:
    def drop(book: Workbook) -> None:
        del book.defined_names[name]

    choice, problems = read_returned(changed(tmp_path, drop), TOO_LATE)
    assert choice is None and codes(problems) == [("not-a-quote", "!")]


def test_no_quote_at_all(tmp_path: Path) -> None:
    path = tmp_path / "empty.xlsx"
    Workbook().save(path)
    assert codes(read_returned(path, TOO_LATE)[1]) == [("not-a-quote", "!")]
