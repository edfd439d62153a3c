"""Which cells differ: rows by what they are about, values by what they say, in the owner's words."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.workbook.put_back import changes_of_books, changes_of_jobs
from quotekit.workbook.typed_changes import TypedChange, the_other_way
from tests.cli.small_shop import Sheets, job, shop_book
from tests.workbook.typed import Edit, all_of, set_cell, typed_books, typed_jobs


def told(changes: list[TypedChange]) -> list[tuple[str, str | None, str | None]]:
    return [(change.cell.what, change.cell.old, change.cell.new) for change in changes]


def book_changes(folder: Path, edit: Edit, base: Sheets | None = None) -> list[tuple[str, str | None, str | None]]:
    return told(changes_of_books(*typed_books(folder, edit, base)))


def job_changes(folder: Path, edit: Edit, base: Sheets | None = None) -> list[tuple[str, str | None, str | None]]:
    return told(changes_of_jobs(*typed_jobs(folder, edit, base)))


def inserted(sheet: str, at: int, row: list[object]) -> Edit:
    return lambda sheets: sheets[sheet].insert(at, row)


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        pytest.param(
            set_cell("Parts", 3, 3, 18),
            [("Pack cost of SEAL (Seal)", "15", "18")],
            id="an amount",
        ),
        pytest.param(
            set_cell("Markup", 1, 2, 0.6),
            [("Markup of the band over 0", "50 %", "60 %")],
            id="a percent",
        ),
        pytest.param(set_cell("Shop", 3, 1, 2), [("Minimum labour hours", "1", "2")], id="a setting"),
        pytest.param(
            inserted("Shop", 4, ["Queue days", 3]),
            [("Queue days", None, "3")],
            id="a setting that was not there",
        ),
        pytest.param(
            set_cell("Operations", 1, 4, "BUSHING; SEAL x 2"),
            [("Parts of BUSH (Press in a bushing)", "BUSHING x 1", "BUSHING x 1; SEAL x 2")],
            id="a list",
        ),
        pytest.param(
            set_cell("Operations", 2, 3, None),
            [("Each side of BELTING (Change the belt)", "No", None)],
            id="blank",
        ),
        pytest.param(
            set_cell("Taxes", 1, 1, 0.08),
            [("Rate of State on parts", "7 %", "8 %")],
            id="a tax",
        ),
        pytest.param(
            set_cell("Findings", 1, 6, 0.76), [("Limit of WORN (Bushing worn)", "0.755", "0.76")], id="a limit"
        ),
        pytest.param(
            set_cell("Parts", 3, 1, "Oil seal"),
            [("Part of SEAL (Oil seal)", "Seal", "Oil seal")],
            id="a name",
        ),
    ],
)
def test_a_changed_cell_of_a_shop_book(
    tmp_path: Path, edit: Edit, expected: list[tuple[str, str | None, str | None]]
) -> None:
    assert book_changes(tmp_path, edit) == expected


@pytest.mark.parametrize(
    "edit",
    [
        pytest.param(
            lambda sheets: sheets["Parts"].reverse() or _header_first(sheets["Parts"]),
            id="rows moved",
        ),
        pytest.param(set_cell("Parts", 3, 0, "seal"), id="a code in small letters"),
        pytest.param(set_cell("Remedies", 1, 2, "Replace"), id="a word in capitals"),
        pytest.param(lambda sheets: sheets["Findings"].append([None] * 7), id="a blank row"),
        pytest.param(
            lambda sheets: sheets.update({"My notes": [["Anything"], ["else"]]}),
            id="the owner's own sheet",
        ),
        pytest.param(
            lambda sheets: [row.append(f"mine {at}") for at, row in enumerate(sheets["Parts"])],
            id="the owner's own column",
        ),
        pytest.param(lambda sheets: [row.insert(1, None) for row in sheets["Parts"]], id="columns moved"),
    ],
)
def test_what_is_no_change(tmp_path: Path, edit: Edit) -> None:
    """The owner may arrange the book as he likes."""
    assert book_changes(tmp_path, edit) == []


def _header_first(rows: list[list[object]]) -> None:
    rows.insert(0, rows.pop())


@pytest.mark.parametrize(
    ("kind", "old", "new", "words"),
    [
        ("pay", 54000, 60000, ("54000", "60000")),
        ("burden", "14%", "15%", ("14 %", "15 %")),
        ("burden", "14%", 8000, ("14 %", "8000")),
    ],
)
def test_an_amount_of_the_rate_builder_is_told_as_typed(
    tmp_path: Path, kind: str, old: object, new: object, words: tuple[str, str]
) -> None:
    """Money as a number, a percentage as one: never as the program keeps it."""
    base = {**shop_book(), "Rate builder": [["Line", "Amount", "Kind"], ["Owner", old, kind]]}
    changed = [
        (before, after) for _, before, after in book_changes(tmp_path, set_cell("Rate builder", 1, 1, new), base)
    ]
    assert changed == [words]


def test_a_row_put_in_the_middle_is_one_change(tmp_path: Path) -> None:
    """The rows below moved down by one and are the same."""
    changes = changes_of_books(*typed_books(tmp_path, inserted("Parts", 1, ["CLIP", "Clip", 10, 4, "Northside"])))
    assert told(changes) == [
        ("Parts: CLIP (Clip)", None, "Part Clip; Pack quantity 10; Pack cost 4; Supplier Northside")
    ]
    assert (changes[0].kind, str(changes[0].cell.place_new), changes[0].cell.place_old) == (
        "added",
        "new.xlsx:Parts!A2",
        None,
    )


def test_a_row_taken_out_says_what_it_said(tmp_path: Path) -> None:
    changes = changes_of_books(*typed_books(tmp_path, lambda sheets: sheets["Taxes"].pop()))
    assert told(changes) == [("Taxes: State on parts", "Rate 7 %; Charge parts", None)]
    assert changes[0].cell.place == "old.xlsx:Taxes!A2 (before)"


def test_places_are_those_of_each_workbook(tmp_path: Path) -> None:
    edit = all_of(inserted("Parts", 1, ["CLIP", "Clip", 10, 4, "Northside"]), set_cell("Parts", 4, 3, 18))
    changes = changes_of_books(*typed_books(tmp_path, edit))
    cost = next(change.cell for change in changes if change.kind == "value")
    assert (str(cost.place_old), str(cost.place_new)) == ("old.xlsx:Parts!D4", "new.xlsx:Parts!D5")


def test_a_column_that_was_not_there_has_no_old_cell(tmp_path: Path) -> None:
    edit = all_of(set_cell("Parts", 0, 5, "List price each"), set_cell("Parts", 2, 5, 30))
    (change,) = changes_of_books(*typed_books(tmp_path, edit))
    assert (change.cell.what, change.cell.old, change.cell.new) == ("List price each of BELT (Drive belt)", None, "30")
    assert (change.cell.place_old, str(change.cell.place_new)) == (None, "new.xlsx:Parts!F3")


def with_tiers() -> Sheets:
    return {
        **shop_book(),
        "Tiers": [
            ["Code", "Tier", "Covers", "Aim"],
            ["good", "Good", "safety; needed", "lowest price"],
            ["best", "Best", "safety; needed", "longest life"],
        ],
        "Labour rates": [["Code", "Rate per hour"], ["MAIN", 90], ["WELD", 120]],
    }


@pytest.mark.parametrize(
    ("sheet", "expected"),
    [
        ("Tiers", [("Order of the rows of Tiers", "good; best", "best; good")]),
        ("Labour rates", [("Order of the rows of Labour rates", "MAIN; WELD", "WELD; MAIN")]),
    ],
)
def test_an_order_that_says_something_is_a_change(
    tmp_path: Path, sheet: str, expected: list[tuple[str, str | None, str | None]]
) -> None:
    """Tiers go from least to most, and the first labour rate is the default."""
    assert book_changes(tmp_path, lambda sheets: sheets[sheet].append(sheets[sheet].pop(1)), with_tiers()) == expected


def test_a_later_labour_rate_may_move(tmp_path: Path) -> None:
    base = with_tiers()
    base["Labour rates"].append(["LIGHT", 70])
    assert (
        book_changes(tmp_path, lambda sheets: sheets["Labour rates"].insert(2, sheets["Labour rates"].pop()), base)
        == []
    )


@pytest.mark.parametrize(
    ("sheet", "header", "rows", "edit", "expected"),
    [
        ("Parts used", ["Used by", "Part", "Quantity", "Side"],
         [["BUSH", "SEAL", 1, "left"], ["BUSH", "SEAL", 2, "right"]],
         set_cell("Parts used", 2, 2, 3), [("Quantity of SEAL used by BUSH", "2", "3")]),
        ("Parts used", ["Used by", "Part", "Quantity", "Side"], [["BUSH", "SEAL", 1, "left"]],
         set_cell("Parts used", 1, 3, "right"), [("Side of SEAL used by BUSH", "left", "right")]),
        ("Fits only if", ["Remedy", "Finding", "From", "To"], [["NEWBUSH", "WORN", 0.7, None]],
         set_cell("Fits only if", 1, 3, 0.9), [("To of NEWBUSH, fits only if WORN", None, "0.9")]),
        ("Bundles", ["Code", "Bundle", "Members", "Saving", "Value"],
         [["TWO", "Both", "NEWBUSH; NEWBELT", "hours off", 0.2]],
         set_cell("Bundles", 1, 4, 0.3), [("Value of TWO (Both)", "0.2", "0.3")]),
        ("Offers", ["Part", "Supplier", "Pack quantity", "Pack cost"], [["SEAL", "South", 5, 9]],
         set_cell("Offers", 1, 3, 8), [("Pack cost of SEAL from South", "9", "8")]),
    ],
)  # fmt: skip
def test_rows_without_a_code_go_by_what_they_are_about(
    tmp_path: Path, sheet: str, header: list[object], rows: list[list[object]], edit: Edit, expected: object
) -> None:
    base = {**shop_book(), sheet: [header, *rows]}
    assert book_changes(tmp_path, edit, base) == expected


def test_a_rate_of_a_new_day_is_a_new_row(tmp_path: Path) -> None:
    """The one in force before stays as it was."""
    from datetime import date

    header, row = ["Code", "Rate per hour", "In force from"], ["MAIN", 90, date(2026, 1, 1)]
    base = {**shop_book(), "Labour rates": [header, row]}
    edit: Edit = lambda sheets: sheets["Labour rates"].append(["MAIN", 96, date(2026, 7, 1)])  # noqa: E731
    assert book_changes(tmp_path, edit, base) == [
        ("Labour rates: MAIN 2026-07-01", None, "Rate per hour 96; In force from 2026-07-01")
    ]


@pytest.mark.parametrize(
    ("edit", "expected"),
    [
        pytest.param(
            set_cell("Findings", 1, 2, 0.77), [("Measured of WORN left", "0.761", "0.77")], id="a measurement"
        ),
        pytest.param(
            set_cell("Findings", 1, 1, "right"),
            [("Side of WORN right", "left", "right")],
            id="a side",
        ),
        pytest.param(
            set_cell("Job", 2, 1, "A. Else"),
            [("Customer", "R. Alder", "A. Else")],
            id="a field",
        ),
        pytest.param(
            lambda sheets: sheets["Findings"].append(["BRAKE"]),
            [("Findings: BRAKE", None, "a row")],
            id="a new finding",
        ),
        pytest.param(
            lambda sheets: sheets["Job"].append(["Paid so far", 20]), [("Paid so far", None, "20")], id="a new field"
        ),
        pytest.param(
            lambda sheets: sheets["Findings"].append(sheets["Findings"].pop(1)),
            [],
            id="findings moved",
        ),
    ],
)
def test_a_changed_cell_of_a_job(tmp_path: Path, edit: Edit, expected: object) -> None:
    assert job_changes(tmp_path, edit) == expected


def test_findings_the_book_does_not_list_are_named_by_their_order(tmp_path: Path) -> None:
    """OTHER-1 becomes OTHER-2 when two such rows are put the other way round."""
    base = job()
    base["Findings"] = [["Finding", "Severity", "Note"], ["OTHER", "needed", "bent"], ["OTHER", "watch", "dull"]]
    found = job_changes(tmp_path, lambda sheets: sheets["Findings"].append(sheets["Findings"].pop(1)), base)
    assert found == [("Order of the rows of Findings", "OTHER; OTHER", "OTHER; OTHER")]


def test_lines_of_a_job_are_named_by_their_order(tmp_path: Path) -> None:
    base = {
        **job(),
        "One-off": [["Line", "Kind", "Quantity", "Unit price"], ["Towing", "charge", 1, 60], ["Tag", "charge", 1, 5]],
    }
    found = job_changes(tmp_path, lambda sheets: sheets["One-off"].append(sheets["One-off"].pop(1)), base)
    assert found == [("Order of the rows of One-off", "Towing; Tag", "Tag; Towing")]


def test_a_change_the_other_way_is_the_way_back(tmp_path: Path) -> None:
    edit = all_of(set_cell("Parts", 3, 3, 18), inserted("Parts", 1, ["CLIP", "Clip", 10, 4, "Northside"]))
    old, new = typed_books(tmp_path, all_of(set_cell("Parts", 3, 3, 18), edit))
    there, back = changes_of_books(old, new), changes_of_books(new, old)
    turned = [the_other_way(change) for change in there]
    key = lambda change: (change.kind, change.name, change.old, change.new)  # noqa: E731
    assert sorted(map(key, turned), key=str) == sorted(map(key, back), key=str)
