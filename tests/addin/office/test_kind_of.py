"""What a workbook is by its sheets: the office must say what the engine's readers say, of open and of closed ones."""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path

import pytest

from quotekit.addin.office import kind_of
from quotekit.addin.office.kind_of import BOOK, COSTING, JOB, OTHER, QUOTE, kind_by_names, kind_of_file
from quotekit.cli.main import main
from quotekit.workbook import compared_kind
from quotekit.workbook.kept_copies import is_kept_copy
from quotekit.workbook.names import name_key
from tests.cli.small_shop import job, shop_book, write_book

ODS_HEAD = '<?xml version="1.0"?><office:document-content xmlns:office="o" xmlns:table="t">'


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shop book, six jobs, their quotes and costings."""
    folder = tmp_path_factory.mktemp("kinds") / "demo"
    assert main(["demo", str(folder)]) == 0
    return folder


def test_files_of_the_demo_are_what_the_engine_takes_them_for(demo: Path) -> None:
    files = sorted(demo.glob("*.xlsx"))
    found = {file.name: kind_of_file(str(file)) for file in files}
    assert found == {file.name: compared_kind.kind_of_file(file)[0] for file in files}
    assert {BOOK, JOB, QUOTE, COSTING} == set(found.values())


@pytest.mark.parametrize(
    "sheets, names, kind",
    [
        (["Shop", "Parts"], [], BOOK),
        (["SHOP ", "Labor rates"], [], BOOK),
        (["Job", "Findings"], [], JOB),
        (["J ob"], [], JOB),
        (["Shop", "Job"], [], BOOK),
        (["Summary", "Reasons and warnings", "Inputs", "Put right"], [], COSTING),
        (["Summary", "Inputs"], [], OTHER),
        (["Quote", "Working"], ["QUOTE_NUMBER", "offered_options", "deposit"], QUOTE),
        (["Quote", "Working"], [], OTHER),
        (["Sheet1"], [], OTHER),
        ([], [], OTHER),
    ],
)
def test_a_kind_is_known_by_its_sheets(sheets: list[str], names: list[str], kind: str) -> None:
    """The engine's own rule on the same names gives the same."""
    assert kind_by_names(sheets, names) == kind
    engine = compared_kind._kind({name_key(sheet) for sheet in sheets}, frozenset(name.lower() for name in names))
    assert (engine or OTHER) == kind


@pytest.mark.parametrize("name", [" Labor  Rates", "LICENSE", "One-off", "Straße", "Ünïts"])
def test_names_compare_as_in_the_engine(name: str) -> None:
    assert kind_of.sheet_key(name) == name_key(name)


def an_ods(path: Path, content: str) -> Path:
    with zipfile.ZipFile(path, "w") as package:
        package.writestr("content.xml", content)
    return path


def test_a_file_of_the_office_is_looked_into(tmp_path: Path) -> None:
    tables = "".join(f'<table:table table:name="{name}"/>' for name in ("Start here", "Shop"))
    ods = an_ods(tmp_path / "book.ods", f"{ODS_HEAD}{tables}</office:document-content>")
    assert kind_of_file(str(ods)) == BOOK


def test_what_can_not_be_read_is_no_workbook_of_ours(tmp_path: Path) -> None:
    """Nothing is raised: a folder holds all kinds of files."""
    torn = write_book(tmp_path / "torn.xlsx", shop_book())
    torn.write_bytes(torn.read_bytes()[:3000])
    bomb = '<!DOCTYPE a [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]>'
    listed = [
        tmp_path / "gone.xlsx",
        torn,
        tmp_path,
        an_ods(tmp_path / "bomb.ods", f"{bomb}<a>&b;</a>"),
        an_ods(tmp_path / "half.ods", f'{ODS_HEAD}<table:table table:name="Shop"'),
    ]
    (tmp_path / "text.xlsx").write_text("no workbook", encoding="utf-8")
    assert {kind_of_file(str(path)) for path in [*listed, tmp_path / "text.xlsx"]} == {OTHER}


def test_a_file_that_was_changed_is_looked_into_again(tmp_path: Path) -> None:
    path = write_book(tmp_path / "a.xlsx", shop_book())
    assert kind_of_file(str(path)) == BOOK
    other = write_book(tmp_path / "b.xlsx", job())
    shutil.copyfile(other, path)
    assert kind_of_file(str(path)) == JOB


def test_a_file_is_looked_into_once_while_it_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder of years is asked with every click."""
    path = write_book(tmp_path / "a.xlsx", shop_book())
    assert kind_of_file(str(path)) == BOOK
    monkeypatch.setattr(kind_of, "_names_in", lambda _: pytest.fail("looked into again"))
    assert kind_of_file(str(path)) == BOOK


@pytest.mark.parametrize(
    "name", ["a.xlsx", "a before 2026-12-01.xlsx", "a before b.xlsx", "a before 2026-12-01 (3).ods"]
)
def test_kept_copies_are_those_of_the_engine(name: str) -> None:
    """The names of copies that are kept beside a shop book when prices in it are changed."""
    assert kind_of.is_kept_copy(name) == is_kept_copy(name)
