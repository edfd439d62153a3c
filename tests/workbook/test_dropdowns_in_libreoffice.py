"""What the drop-downs list in a real LibreOffice: in the file as written, saved again as .xlsx, as .ods, and back.

The rule of a cell is worked out by LibreOffice after the machine class was typed; no list is read from our own layout.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from quotekit.workbook.job_lists import class_lists, code_lists
from quotekit.workbook.new_books import write_blank_job
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.side_lists import side_lists
from quotekit.workbook.write_blank import job_bytes, shop_book_bytes
from tests.recalculation.office import Office, Value
from tests.workbook.class_shop import class_shop
from tests.workbook.test_side_lists import CLASSES, sheets

FORMATS = {"xlsx": "Calc MS Excel 2007 XML", "ods": "calc8"}
BLANK = "0.0"
"""What a formula makes of a blank cell: a list without an entry is one blank line."""
CLASS_CELL = "Job!B8"
CELLS = {
    "list_Findings": ("Findings!A3", "Findings!A200", "One-off!K3"),
    "list_Sides": ("Findings!B3", "Extras!B9", "Plan!C4"),
    "list_Extras": ("Extras!A3",),
    "list_Remedies_Extras_Operations": ("Plan!B3", "Plan!B100"),
}


def saved(office: Office, path: Path, kind: str) -> Path:
    """The workbook as LibreOffice saves it."""
    copy = path.with_name(f"{path.stem} again.{kind}")
    with office.opened(path):
        office.ask({"store": str(copy), "filter": FORMATS[kind]})
    return copy


def every_way(office: Office, path: Path) -> list[Path]:
    """As written, saved again, as .ods, and as .xlsx from that."""
    ods = saved(office, path, "ods")
    return [path, saved(office, path, "xlsx"), ods, saved(office, ods, "xlsx")]


def offered(office: Office, filling: dict[str, Value], cells: tuple[str, ...]) -> list[list[str]]:
    """What the cells' drop-downs list once something is typed."""
    office.ask({"try": [filling], "read": []})
    lists: list[list[str]] = office.ask({"offered": list(cells)})["offered"]
    return lists


@pytest.fixture(scope="module")
def jobs(office: Office, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    path = tmp_path_factory.mktemp("job") / "job.xlsx"
    write_blank_job(path, class_shop())
    return every_way(office, path)


@pytest.fixture(scope="module")
def books(office: Office, tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    path = tmp_path_factory.mktemp("book") / "shop book.xlsx"
    path.write_bytes(shop_book_bytes({"Machines": CLASSES, "Parts used": ()}))
    return every_way(office, path)


def test_a_job_offers_what_its_class_has(office: Office, jobs: list[Path]) -> None:
    """Typed as code or name, in any capitals, with spaces about it; a number is a code too."""
    typed: dict[Value, str] = {
        "blower": "BLOWER",
        " TANDEM ": "TANDEM",
        "snow thrower (TWO-stage)": "BLOWER",
        "trailer,  tandem": "TANDEM",
        10: "10",
        "TILLER": "10",
    }
    lists = {each.code: each.offered for each in class_lists(class_shop())}
    for path in jobs:
        with office.opened(path):
            for word, code in typed.items():
                for name, cells in CELLS.items():
                    expected = list(lists[code][name]) or [BLANK]
                    listed = offered(office, {CLASS_CELL: word}, cells)
                    assert listed == [expected] * len(cells), (path.name, word, name)


def test_a_class_that_is_not_known_is_offered_everything(office: Office, jobs: list[Path]) -> None:
    whole = {each.name: list(each.codes) for each in code_lists(class_shop())}
    for path in jobs:
        with office.opened(path):
            for word in (None, "BLOW", "*", ".*"):
                for name, cells in CELLS.items():
                    assert offered(office, {CLASS_CELL: word}, cells[:1]) == [whole[name]], (path.name, word, name)


def test_what_to_measure_follows_what_is_picked(office: Office, jobs: list[Path]) -> None:
    picked: dict[Value, str] = {
        "bore": "Bore (in): not above 0.770",
        "LOOSE": "Bolts loose (by eye)",
        "OTHER": "Say what in Note, give a Severity",
        "NO": "",
        None: "",
    }
    filling = {f"Findings!A{row}": code for row, code in enumerate(picked, start=3)}
    for path in jobs:
        with office.opened(path) as book:
            (shown,) = book.tried([filling], [f"Findings!C{row}" for row in range(3, 8)])
            assert shown == list(picked.values()), path.name


def test_the_reader_does_not_mind(office: Office, jobs: list[Path], tmp_path: Path) -> None:
    """Names, lists and the column that fills itself in are no data: every copy reads like the one written."""
    rows = {
        "Job": tuple(
            {"Field": field, "Value": value}
            for field, value in {
                "Job number": "7",
                "Customer": "A. Customer",
                "Machine class": "blower",
                "Customer's words": "It knocks",
                "Quote date": "2026-11-10",
            }.items()
        ),
        "Findings": ({"Finding": "BORE", "Side": "left", "Measured": "0.8"},),
    }
    path = tmp_path / "filled.xlsx"
    path.write_bytes(job_bytes(class_shop(), rows))
    first, problems = read_job(path, class_shop())
    assert first is not None and problems == []
    for copy in (each for each in every_way(office, path) if each.suffix == ".xlsx"):
        again, problems = read_job(copy, class_shop())
        assert again is not None and problems == [], copy.name
        assert [(each.key, each.measured) for each in again.findings] == [
            (each.key, each.measured) for each in first.findings
        ]


def test_a_row_of_parts_used_offers_the_sides_of_its_machine(office: Office, books: list[Path]) -> None:
    """Also of a class added later; where a row names none, several or an unknown one, every side of those written."""
    rows: dict[str, Value] = {
        "Parts used!E3": "tandem",
        "Parts used!E4": "TILLER",
        "Parts used!E5": "LATER",
        "Parts used!E6": "NOWHERE",
        "Parts used!E7": "TANDEM; TILLER",
        "Machines!A6": "LATER",
        "Machines!C6": "top; bottom",
    }
    every = ["left", "right", "left front", "left rear", "right front", "tines", "both", "all"]
    for path in books:
        with office.opened(path):
            lists = offered(office, rows, tuple(f"Parts used!D{row}" for row in (3, 4, 5, 6, 7, 8)))
            assert lists[:3] == [
                ["left front", "left rear", "right front", "all"],
                ["tines", "all"],
                ["top", "bottom", "both", "all"],
            ], path.name
            assert lists[3:] == [every] * 3, path.name


def test_the_stored_values_of_a_shop_book_are_those_worked_out(office: Office, books: list[Path]) -> None:
    """What a program shows that does not work formulas out is what the others show."""
    stored = {(cell.row, cell.column): cell.value for cell in side_lists(sheets(*CLASSES)) if cell.formula}
    with office.opened(books[0]) as book:
        found = book.formulas()
    assert len(found) == len(stored)
    for (row, column), value in stored.items():
        letter = chr(65 + column) if column < 26 else "A" + chr(39 + column)
        assert (found[f"Lists!{letter}{row + 1}"] or "") == (value or ""), (row, column)


def test_a_shop_book_reads_as_before(office: Office, tmp_path: Path) -> None:
    """Its lists are a sheet of the owner's own to the reader, whoever saved it."""
    from quotekit.workbook.new_books import write_demo_folder

    path = write_demo_folder(tmp_path / "demo")[0]
    book, problems = read_shop_book(path)
    again, told = read_shop_book(saved(office, path, "xlsx"))
    assert book is not None and again is not None
    assert (problems, told) == ([], [])
    for sheet in ("machines", "parts_used", "findings", "remedies"):
        assert len(getattr(again, sheet)) == len(getattr(book, sheet)) > 0, sheet
