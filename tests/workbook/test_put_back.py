"""A change put back: the one cell is as it was, the rest as it is, and all together are the old workbook."""

from __future__ import annotations

from functools import reduce
from pathlib import Path

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.problems import has_errors
from quotekit.workbook.put_back import changes_of_books, changes_of_jobs, put_back_in_book, put_back_in_job
from quotekit.workbook.read_job import job_of_sheets
from quotekit.workbook.read_shop_book import BookSheets, book_of_sheets
from quotekit.workbook.typed_changes import the_other_way
from tests.cli.small_shop import Sheets, job, shop_book
from tests.workbook.test_typed_changes import inserted, told, with_tiers
from tests.workbook.typed import Edit, all_of, set_cell, typed_books, typed_jobs

CLIP: list[object] = ["CLIP", "Clip", 10, 4, "Northside"]

EDITS: dict[str, Edit] = {
    "a cell": set_cell("Parts", 3, 3, 18),
    "a setting": set_cell("Shop", 3, 1, 2),
    "a new setting": inserted("Shop", 4, ["Queue days", 3]),
    "a row that came": inserted("Parts", 1, CLIP),
    "a row that went": lambda sheets: sheets["Taxes"].pop(),
    "a row that went from the top": lambda sheets: sheets["Labour rates"].pop(1),
    "an order": lambda sheets: sheets["Tiers"].append(sheets["Tiers"].pop(1)),
    "a cell emptied": set_cell("Operations", 2, 3, None),
    "a sheet that came": lambda sheets: sheets.update({"Fees": [["Code", "Fee", "Amount"], ["PICKUP", "Pickup", 20]]}),
    "a sheet that went": lambda sheets: sheets.pop("Tiers"),
    "two cells of one row": all_of(set_cell("Parts", 3, 3, 18), set_cell("Parts", 3, 2, 12)),
    "much at once": all_of(
        inserted("Parts", 1, CLIP),
        set_cell("Parts", 4, 3, 18),
        set_cell("Markup", 1, 2, 0.6),
        set_cell("Shop", 3, 1, 2),
        lambda sheets: sheets["Tiers"].append(sheets["Tiers"].pop(1)),
        lambda sheets: sheets["Taxes"].pop(),
    ),
}


def base() -> Sheets:
    return {**shop_book(), **with_tiers()}


def rows(sheets: BookSheets) -> dict[str, list[dict[str, object]]]:
    return {name: [dict(sorted(row.values.items())) for row in of_sheet] for name, of_sheet in sheets.rows.items()}


def settings(book: ShopBook) -> dict[str, object]:
    return {name: getattr(book.settings, name) for name in book.settings.__dataclass_fields__ if name != "sources"}


@pytest.mark.parametrize("name", EDITS)
def test_all_changes_put_back_give_the_old_book(tmp_path: Path, name: str) -> None:
    old, new = typed_books(tmp_path, EDITS[name], base())
    changes = changes_of_books(old, new)
    assert changes
    back = reduce(lambda sheets, change: put_back_in_book(old, sheets, change), changes, new)
    assert changes_of_books(old, back) == []
    assert {sheet: sorted(map(str, of_sheet)) for sheet, of_sheet in rows(back).items()} == {
        sheet: sorted(map(str, of_sheet)) for sheet, of_sheet in rows(old).items()
    }
    (was, problems), (now, found) = book_of_sheets(old), book_of_sheets(back)
    assert settings(was) == settings(now) and has_errors(problems) == has_errors(found)


@pytest.mark.parametrize("name", EDITS)
def test_all_changes_made_the_other_way_give_the_new_book(tmp_path: Path, name: str) -> None:
    old, new = typed_books(tmp_path, EDITS[name], base())
    turned = [the_other_way(change) for change in changes_of_books(old, new)]
    made = reduce(lambda sheets, change: put_back_in_book(new, sheets, change), turned, old)
    assert changes_of_books(new, made) == []


def test_one_change_put_back_leaves_the_others(tmp_path: Path) -> None:
    old, new = typed_books(tmp_path, EDITS["much at once"], base())
    changes = changes_of_books(old, new)
    for change in changes:
        left = told(changes_of_books(old, put_back_in_book(old, new, change)))
        assert left == [one for one in told(changes) if one != (change.cell.what, change.cell.old, change.cell.new)]


def test_the_first_labour_rate_comes_back_to_its_place(tmp_path: Path) -> None:
    """It is the default of all work: at the end of the sheet it would be another book."""
    old, new = typed_books(tmp_path, EDITS["a row that went from the top"], base())
    (change,) = changes_of_books(old, new)
    back, _ = book_of_sheets(put_back_in_book(old, new, change))
    assert [rate.code for rate in back.labour_rates] == ["MAIN", "WELD"]


def test_a_mixture_no_owner_could_have_typed_has_errors(tmp_path: Path) -> None:
    """Two ends of two bands moved together: one of them alone leaves a gap, or an overlap."""
    edit = all_of(set_cell("Markup", 1, 1, 25), set_cell("Markup", 2, 0, 25))
    old, new = typed_books(tmp_path, edit)
    changes = changes_of_books(old, new)
    assert len(changes) == 2
    assert all(has_errors(book_of_sheets(put_back_in_book(old, new, change))[1]) for change in changes)


def test_a_part_that_came_with_its_use_cannot_go_alone(tmp_path: Path) -> None:
    edit = all_of(inserted("Parts", 1, CLIP), set_cell("Operations", 1, 4, "BUSHING; CLIP"))
    old, new = typed_books(tmp_path, edit)
    errors = {
        change.kind: has_errors(book_of_sheets(put_back_in_book(old, new, change))[1])
        for change in changes_of_books(old, new)
    }
    assert errors == {"added": True, "value": False}


JOB_EDITS: dict[str, Edit] = {
    "a measurement": set_cell("Findings", 1, 2, 0.77),
    "a field": set_cell("Job", 2, 1, "A. Else"),
    "a new finding": lambda sheets: sheets["Findings"].append(["BRAKE"]),
    "a finding that went": lambda sheets: sheets["Findings"].pop(),
    "a new field": lambda sheets: sheets["Job"].append(["Paid so far", 20]),
    "a sheet that came": lambda sheets: sheets.update({"Plan": [["Tier", "Item"], ["good", "NEWBELT"]]}),
}


@pytest.mark.parametrize("name", JOB_EDITS)
def test_all_changes_put_back_give_the_old_job(tmp_path: Path, name: str) -> None:
    old, new = typed_jobs(tmp_path, JOB_EDITS[name], job())
    book, _ = book_of_sheets(typed_books(tmp_path, lambda sheets: None)[0])
    changes = changes_of_jobs(old, new)
    assert changes
    back = reduce(lambda sheets, change: put_back_in_job(old, sheets, change), changes, new)
    assert changes_of_jobs(old, back) == []
    was, now = job_of_sheets(old, book)[0], job_of_sheets(back, book)[0]
    assert was is not None and now is not None
    assert (was.customer, was.paid_so_far, len(was.plan)) == (now.customer, now.paid_so_far, len(now.plan))
    assert [(one.key, one.measured) for one in was.findings] == [(one.key, one.measured) for one in now.findings]
