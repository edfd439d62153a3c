"""New folders, blank jobs and the worked example: what is written reads back, and nothing is written over."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.problems import Problem
from quotekit.workbook.columns import JOB_WORKBOOK, SHOP_BOOK
from quotekit.workbook.job_lists import WHAT_TO_MEASURE
from quotekit.workbook.lists_sheet import LISTS
from quotekit.workbook.new_books import (
    write_blank_job,
    write_demo_folder,
    write_new_folder,
    write_templates_folder,
    write_tiny_folder,
)
from quotekit.workbook.read_job import read_job
from quotekit.workbook.read_shop_book import read_shop_book
from quotekit.workbook.write_input_book import START

SEVEN = ["Shop", "Labour rates", "Operations", "Parts", "Markup", "Findings", "Remedies"]


def book_at(path: Path) -> ShopBook:
    """A shop book that reads without any problem."""
    book, problems = read_shop_book(path)
    assert (book is not None, problems) == (True, [])
    assert book is not None
    return book


def codes(problems: list[Problem]) -> set[str]:
    return {problem.code for problem in problems}


def headers(page: Any) -> list[str]:
    return [cell.value for cell in page[2]]


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The worked example, written once for these tests."""
    return write_demo_folder(tmp_path_factory.mktemp("example") / "demo")


def test_new_writes_seven_sheets_of_one_line_and_a_blank_job(tmp_path: Path) -> None:
    """A shop starts from the seven sheets that suffice, each with a line to change, and can check them at once."""
    book_path, job_path, *templates = write_new_folder(tmp_path / "shop")
    assert openpyxl.load_workbook(book_path).sheetnames == [START, *SEVEN]
    book = book_at(book_path)
    assert [len(rows) for rows in (book.operations, book.parts, book.markup, book.findings, book.remedies)] == [1] * 5
    job, problems = read_job(job_path, book)
    assert codes(problems) == {"blank-required"} or all("blank" in problem.message for problem in problems)
    assert {problem.place.sheet for problem in problems} == {"Job"}
    assert job is None or job.findings == ()
    assert [path.parent for path in templates] == [tmp_path / "shop" / "workbook_templates"] * 3
    assert sorted(path.name for path in templates) == ["bill.xlsx", "parts order.xlsx", "work order.xlsx"]


def test_nothing_is_written_over(tmp_path: Path) -> None:
    """A second run stops before it writes anything, whichever file is in the way."""
    first = write_new_folder(tmp_path)
    before = [path.read_bytes() for path in first]
    with pytest.raises(FileExistsError, match="shop book"):
        write_new_folder(tmp_path)
    assert [path.read_bytes() for path in first] == before
    first[0].unlink()
    with pytest.raises(FileExistsError, match="job"):
        write_new_folder(tmp_path)
    assert not first[0].exists()
    with pytest.raises(FileExistsError):
        write_blank_job(first[1])


def test_the_example_has_its_templates_beside_it(demo: list[Path]) -> None:
    """Whoever looks at the example can restyle its documents at once; they are no workbooks to quote."""
    folder = demo[0].parent / "workbook_templates"
    assert sorted(path.name for path in folder.iterdir()) == ["bill.xlsx", "parts order.xlsx", "work order.xlsx"]
    assert not [path for path in demo if path.parent == folder]


def test_a_photo_in_the_way_stops_the_example(tmp_path: Path, demo: list[Path]) -> None:
    photo = next(demo[0].parent.glob("*.jpg"))
    (tmp_path / photo.name).write_bytes(b"mine")
    with pytest.raises(FileExistsError):
        write_demo_folder(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == [photo.name]


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A book without its job would stand in the way of the next try."""
    opened, open_path = [], Path.open

    def fail_on_second(path: Path, mode: str = "r", **options: Any) -> Any:
        if mode == "xb":
            opened.append(path)
            if len(opened) == 2:
                raise OSError(28, "No space left on device", str(path))
        return open_path(path, mode, **options)

    monkeypatch.setattr(Path, "open", fail_on_second)
    with pytest.raises(OSError, match="No space"):
        write_new_folder(tmp_path / "shop")
    assert len(opened) == 2
    assert list((tmp_path / "shop").iterdir()) == []


def test_a_template_that_is_there_stops_all(tmp_path: Path) -> None:
    """What the owner restyled is never written over, and no book is written that would lack its templates."""
    mine = tmp_path / "workbook_templates" / "bill.xlsx"
    mine.parent.mkdir()
    mine.write_bytes(b"restyled")
    with pytest.raises(FileExistsError, match="bill"):
        write_new_folder(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["workbook_templates"]
    assert mine.read_bytes() == b"restyled"


def test_a_full_disk_half_way_through_the_templates_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    open_path = Path.open

    def fail_on_bill(path: Path, mode: str = "r", **options: Any) -> Any:
        if path.name == "bill.xlsx":
            raise OSError(28, "No space left on device", str(path))
        return open_path(path, mode, **options)

    monkeypatch.setattr(Path, "open", fail_on_bill)
    with pytest.raises(OSError, match="No space"):
        write_new_folder(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_every_declared_column_is_in_the_blank_workbooks(tmp_path: Path) -> None:
    """The blank workbooks come from the declarations, so a new column can't be forgotten."""
    book_path, job_path, *_ = write_templates_folder(tmp_path)
    for path, declared in ((book_path, SHOP_BOOK), (job_path, JOB_WORKBOOK)):
        workbook = openpyxl.load_workbook(path)
        for sheet in declared:
            expected = [column.header for column in sheet.columns]
            assert (
                headers(workbook[sheet.name]) == [*expected, "What to put there"][: len(headers(workbook[sheet.name]))]
            )
            assert len(headers(workbook[sheet.name])) >= len(expected), sheet.name


def test_the_example_reads_without_a_problem(demo: list[Path]) -> None:
    book_path, *jobs = demo
    book = book_at(book_path)
    assert len(jobs) == 6
    for path in jobs:
        job, problems = read_job(path, book)
        assert (job is not None, problems) == (True, []), path.name


def test_the_example_uses_every_sheet(demo: list[Path]) -> None:
    """Whoever reads the example sees every sheet at work."""
    workbook = openpyxl.load_workbook(demo[0])
    assert workbook.sheetnames == [START, *(sheet.name for sheet in SHOP_BOOK), LISTS]
    assert [name for name in workbook.sheetnames[1:] if workbook[name].max_row < 3] == []


def test_photos_lie_beside_the_jobs_that_name_them(demo: list[Path]) -> None:
    book = book_at(demo[0])
    named = set()
    for path in demo[1:]:
        job, _ = read_job(path, book)
        assert job is not None
        named |= {finding.photo for finding in job.findings if finding.photo}
    assert named == {path.name for path in demo[0].parent.glob("*.jpg")}
    assert len(named) >= 1


def test_values_read_back_as_typed_in_the_example(demo: list[Path]) -> None:
    """Percents, dates, money, lists and codes with leading zeros all come back as they stand in the data."""
    book = book_at(demo[0])
    assert book.settings.supplies_percent_of_labour == Decimal("0.05")
    assert book.settings.inspection_fee_credited == "when work goes ahead"
    assert book.labour_rates[1].in_force_from == date(2026, 3, 1)
    assert book.parts["KIT-HUB"].contains[4].code == "SEAL-HUB"
    assert book.bundles["MOWER-TUNE"].value == Decimal("0.1")
    assert book.markup[0].markup == Decimal("1.2")
    job, _ = read_job(demo[1], book)
    assert job is not None
    assert (job.serial, job.spending_limit) == ("0028-4417", Decimal(900))


def test_the_tiny_example_holds_only_what_it_needs(tmp_path: Path) -> None:
    book_path, job_path = write_tiny_folder(tmp_path)
    assert openpyxl.load_workbook(book_path).sheetnames == [START, *SEVEN]
    book = book_at(book_path)
    assert (len(book.parts), len(book.operations)) == (3, 3)
    job, problems = read_job(job_path, book)
    assert (job is not None, problems) == (True, [])


def test_a_blank_job_offers_the_codes_of_its_book(tmp_path: Path, demo: list[Path]) -> None:
    """The technician picks findings from a list; OTHER stands at its end."""
    book = book_at(demo[0])
    write_blank_job(tmp_path / "job.xlsx", book)
    workbook = openpyxl.load_workbook(tmp_path / "job.xlsx")
    assert listed(workbook, "all_findings") == [*book.findings, "OTHER"]
    assert listed(workbook, "list_Machines") == [*(book.machines or {})]
    assert offered(workbook["Findings"])["A3"] == "list_Findings"
    assert offered(workbook["Findings"])["B3"] == "list_Sides"
    assert offered(workbook["Job"])["B8"] == "list_Machines"
    assert workbook[LISTS].sheet_state == "visible"


def test_every_dropdown_has_its_list(tmp_path: Path, demo: list[Path]) -> None:
    """A drop-down whose named range is missing shows nothing; a range that ends elsewhere shows the wrong thing."""
    write_blank_job(tmp_path / "job.xlsx", book_at(demo[0]))
    for path in (*demo, tmp_path / "job.xlsx", *write_templates_folder(tmp_path)):
        workbook = openpyxl.load_workbook(path)
        used = {name for page in workbook for source in offered(page).values() for name in names_in(source)}
        assert used <= set(workbook.defined_names), path.name


def test_literal_lists_are_short_enough(demo: list[Path]) -> None:
    """A list written out in a cell rule holds at most 255 characters."""
    for path in demo:
        for page in openpyxl.load_workbook(path):
            assert max((len(name) for name in offered(page).values()), default=0) <= 255


def test_the_shop_book_is_not_touched_by_a_blank_job(tmp_path: Path, demo: list[Path]) -> None:
    before = demo[0].read_bytes(), demo[0].stat().st_mtime_ns
    write_blank_job(tmp_path / "job.xlsx", book_at(demo[0]))
    assert (demo[0].read_bytes(), demo[0].stat().st_mtime_ns) == before


def test_the_same_bytes_every_time(tmp_path: Path, demo: list[Path]) -> None:
    """No clock and no order of a set gets into a file."""
    again = write_demo_folder(tmp_path)
    assert [path.read_bytes() for path in again] == [path.read_bytes() for path in demo]


def test_formulas_stand_only_where_nothing_is_typed(demo: list[Path]) -> None:
    """Text is written as text: what is typed in is all there is to read. Lists and measures follow by formula."""
    for path in demo:
        for page in openpyxl.load_workbook(path):
            letters = {cell.column for row in page.iter_rows() for cell in row if cell.data_type == "f"}
            if page.title != LISTS:
                assert {page.cell(2, column).value for column in letters} <= {WHAT_TO_MEASURE}, (path.name, page.title)


def names_in(source: str) -> list[str]:
    """The names that a drop-down takes from."""
    return [] if source.startswith('"') else re.findall(r"\b(?:list|side)_\w+", source)


def listed(workbook: Any, name: str) -> list[str]:
    """The cells of a named range."""
    sheet, area = workbook.defined_names[name].attr_text.split("!")
    return [row[0].value for row in workbook[sheet.strip("'")][area.replace("$", "")]]


def offered(page: Any) -> dict[str, str]:
    """The source of each drop-down of a page, by its first cell."""
    return {
        str(rule.sqref).split(":")[0]: rule.formula1.lstrip("=")
        for rule in page.data_validations.dataValidation
        if rule.type == "list"
    }
