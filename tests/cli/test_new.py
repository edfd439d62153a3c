"""`quotekit new`: workbooks to fill in, and never over anything."""

from __future__ import annotations

from pathlib import Path

import openpyxl
import pytest

from quotekit.cli.main import main
from tests.cli.small_shop import shop_book, write_book


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_new_folder_has_a_shop_book_and_a_job(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "my shop"
    assert main(["new", str(folder)]) == 0
    printed = capsys.readouterr().out.splitlines()
    assert [Path(line).name for line in printed[:2]] == ["shop book.xlsx", "job.xlsx"]
    assert names(folder) == ["job.xlsx", "shop book.xlsx", "workbook_templates"]
    assert names(folder / "workbook_templates") == ["bill.xlsx", "parts order.xlsx", "work order.xlsx"]
    assert all(Path(line).exists() for line in printed) and len(printed) == 5


def test_a_new_shop_book_checks_without_an_error(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path)]) == 0
    assert main(["check", str(tmp_path / "shop book.xlsx")]) == 0


def test_a_blank_job_is_refused_with_the_cells_to_fill(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", str(tmp_path)]) == 0
    assert main(["quote", str(tmp_path / "shop book.xlsx"), str(tmp_path / "job.xlsx")]) == 1
    assert "job.xlsx:Job!" in capsys.readouterr().err
    assert names(tmp_path) == ["job.xlsx", "shop book.xlsx", "workbook_templates"]


@pytest.mark.parametrize("options", [[], ["--demo"]])
def test_nothing_that_exists_is_written_over(
    options: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "shop book.xlsx").write_text("years of work")
    assert main(["new", str(tmp_path), *options]) == 3
    out, err = capsys.readouterr()
    assert out == "" and "shop book.xlsx: It is there already" in err
    assert names(tmp_path) == ["shop book.xlsx"]
    assert (tmp_path / "shop book.xlsx").read_text() == "years of work"


def test_a_next_job_takes_its_lists_from_the_book_and_leaves_it_alone(tmp_path: Path) -> None:
    book = write_book(tmp_path / "book.xlsx", shop_book())
    before = book.read_bytes()
    assert main(["new", str(tmp_path / "jobs"), "--book", str(book)]) == 0
    assert main(["new", str(tmp_path / "jobs"), "--book", str(book)]) == 0
    assert book.read_bytes() == before
    assert names(tmp_path / "jobs") == ["job 2.xlsx", "job.xlsx"]
    texts = {
        str(cell.value)
        for sheet in openpyxl.load_workbook(tmp_path / "jobs" / "job.xlsx")
        for row in sheet.iter_rows()
        for cell in row
    }
    assert {"WORN", "FRAYED", "BRAKE"} <= texts


def test_no_job_is_made_for_a_book_with_errors(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    sheets = shop_book()
    sheets["Parts"][1][3] = "$22"
    book = write_book(tmp_path / "book.xlsx", sheets)
    assert main(["new", str(tmp_path / "jobs"), "--book", str(book)]) == 1
    assert "book.xlsx:Parts!D2" in capsys.readouterr().err
    assert names(tmp_path) == ["book.xlsx"]


def test_the_example_is_written_with_demo(tmp_path: Path) -> None:
    assert main(["new", str(tmp_path / "example"), "--demo"]) == 0
    assert len([name for name in names(tmp_path / "example") if name.endswith(".xlsx")]) == 7
