"""Finished workbooks take their place all together or not at all, and never over what a person would miss."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from quotekit.cli import output_files
from quotekit.cli.output_files import check_targets, safe_file_name, write_together


def write(text: str) -> output_files.WriteTo:
    return lambda path: path.write_text(text) and None


def fail(path: Path) -> None:
    path.write_text("half a fi")
    raise OSError(28, "No space left on device", str(path))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize(
    ("number", "expected"),
    [("117", "117"), ("2026/117", "2026-117"), ("a:b*c", "a-b-c"), (" 7. ", "7"), ("...", "job"), ("../../x", "-..-x")],
)
def test_a_job_number_becomes_a_file_name(number: str, expected: str) -> None:
    assert safe_file_name(number) == expected


def test_both_are_written_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "quotes" / "november"
    write_together({folder / "a.xlsx": write("A"), folder / "b.xlsx": write("B")})
    assert names(folder) == ["a.xlsx", "b.xlsx"]
    assert (folder / "b.xlsx").read_text() == "B"


def test_when_the_second_cannot_be_written_neither_is(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="No space left"):
        write_together({tmp_path / "a.xlsx": write("A"), tmp_path / "b.xlsx": fail})
    assert names(tmp_path) == []


def test_when_the_second_cannot_take_its_place_the_first_is_put_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk may fail between two renames; what was there before is there again."""
    (tmp_path / "a.xlsx").write_text("old A")
    (tmp_path / "b.xlsx").write_text("old B")
    real = os.replace

    def replace(source: Path, target: Path) -> None:
        if target.name == "b.xlsx" and not source.name.startswith("before"):
            raise PermissionError(13, "Permission denied", str(target))
        real(source, target)

    monkeypatch.setattr(output_files.os, "replace", replace)
    with pytest.raises(PermissionError):
        write_together({tmp_path / "a.xlsx": write("new A"), tmp_path / "b.xlsx": write("new B")})
    assert names(tmp_path) == ["a.xlsx", "b.xlsx"]
    assert (tmp_path / "a.xlsx").read_text() == "old A"
    assert (tmp_path / "b.xlsx").read_text() == "old B"


def test_a_first_file_that_was_new_is_taken_away_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = os.replace

    def replace(source: Path, target: Path) -> None:
        if target.name == "b.xlsx":
            raise PermissionError(13, "Permission denied", str(target))
        real(source, target)

    monkeypatch.setattr(output_files.os, "replace", replace)
    with pytest.raises(PermissionError):
        write_together({tmp_path / "a.xlsx": write("new A"), tmp_path / "b.xlsx": write("new B")})
    assert names(tmp_path) == []


def test_ctrl_c_leaves_nothing_behind(tmp_path: Path) -> None:
    def interrupted(path: Path) -> None:
        path.write_text("half")
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        write_together({tmp_path / "a.xlsx": interrupted})
    assert names(tmp_path) == []


def codes(target: Path, *inputs: Path, replace: bool = False) -> list[str]:
    return [problem.code for problem in check_targets([target], inputs, replace=replace)]


def test_an_existing_file_needs_replace(tmp_path: Path) -> None:
    target = tmp_path / "117-1 quote.xlsx"
    assert codes(target) == []
    target.write_text("kept")
    assert codes(target) == ["output-exists"]
    assert codes(target, replace=True) == []


@pytest.mark.parametrize("owner", [".~lock.117-1 quote.xlsx#", "~$117-1 quote.xlsx"])
def test_an_open_file_is_never_replaced(tmp_path: Path, owner: str) -> None:
    target = tmp_path / "117-1 quote.xlsx"
    target.write_text("open in an office program")
    (tmp_path / owner).write_text("someone")
    (problem,) = check_targets([target], [], replace=True)
    assert problem.code == "output-open"
    assert owner in problem.message


def test_the_book_and_the_job_are_never_written(tmp_path: Path) -> None:
    book = tmp_path / "117-1 quote.xlsx"
    book.write_text("the shop book")
    assert codes(book, book, replace=True) == ["output-is-input"]
    link = tmp_path / "link"
    link.symlink_to(tmp_path)
    assert codes(link / "117-1 quote.xlsx", book, replace=True) == ["output-is-input"]


def test_a_file_in_place_of_the_folder_is_said_so(tmp_path: Path) -> None:
    """Not as a file that is never written over: a folder was meant."""
    (tmp_path / "out").write_text("notes")
    with pytest.raises(NotADirectoryError) as refused:
        write_together({tmp_path / "out" / "1-1 quote.xlsx": lambda path: None})
    assert refused.value.filename == str(tmp_path / "out")
    assert (tmp_path / "out").read_text() == "notes"


def test_a_folder_in_the_way_is_said_so(tmp_path: Path) -> None:
    (tmp_path / "117-1 quote.xlsx").mkdir()
    assert codes(tmp_path / "117-1 quote.xlsx", replace=True) == ["output-exists"]
