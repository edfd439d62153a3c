"""`quotekit prices`: from a supplier's list to its mapping, and from both to what the list says."""

from __future__ import annotations

import json
import shutil
import sys
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.main import main

ROOT = Path(__file__).parents[2]
LIST = """Acme price list 2026
Part No;Description;Net price;List price;Pack qty;Valid from
A-100;Belt;12,50;20,00;1;2026-01-01
A-100;Belt;13,25;20,00;1;2026-06-01
A-101;Öldichtung;1.234,50;2.000,00;10;2026-01-01
A-102;Seal;;5,00;1;2026-01-01
Total;;1.247,00;;;
"""


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder with a list and a shop book, in which the commands are typed."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "acme.csv").write_bytes(LIST.encode("cp1252"))
    shutil.copy(ROOT / "examples/tiny example/shop book.xlsx", tmp_path / "shop book.xlsx")
    return tmp_path


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, dict[str, Any]]:
    """The exit code and the one object on stdout."""
    capsys.readouterr()
    code = main(["prices", *words, "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_map_then_read(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    code, told = answer(capsys, "map", "acme.csv", "--supplier", "ACME", "--book", "shop book.xlsx")
    assert (code, told["files"]) == (0, ["ACME price list.toml"])
    assert told["columns"]["cost"] == "Net price" and "says “net price”" in told["reasons"]["cost"]
    words = ("read", "acme.csv", "--supplier", "ACME", "--book", "shop book.xlsx", "--on", "2026-03-15")
    code, told = answer(capsys, *words, "--find", "A-101; a100; A-109")
    assert code == 0 and told["problems"] == []
    assert told["fates"] == {"in force": 2, "to come": 1, "no cost": 1, "above the table": 2, "total": 1}
    assert sum(told["fates"].values()) == told["rows"] == 7
    assert [(each["asked"], each["how"]) for each in told["found"]] == [
        ("A-101", "exact"),
        ("a100", "near"),
        ("A-109", "not found"),
    ]
    assert told["found"][0]["price"]["cost"] == "1234.5" and told["found"][0]["price"]["row"] == 5
    assert told["found"][2]["nearest"] == ["A-100", "A-101", "A-102"]
    assert (told["supplier"], told["currency"], told["day"]) == ("ACME", "USD", "2026-03-15")


def test_what_a_person_reads(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prices", "map", "acme.csv", "--supplier", "ACME"]) == 0
    said = capsys.readouterr()
    assert "cost: “Net price” - the header says “net price”" in said.out
    assert "Look at this: cost_is_for" in said.err
    assert main(["prices", "read", "acme.csv", "--supplier", "ACME", "--currency", "eur", "--on", "2026-03-15"]) == 0
    out = capsys.readouterr().out
    assert "          2  in force on the day" in out
    assert "          7  in all" in out
    assert "row 6 A-102" in out
    assert "written in Windows-1252 (western)" in out


def test_a_mapping_is_never_written_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The owner has mended it by hand."""
    path = folder / "ACME price list.toml"
    path.write_text("mended", encoding="utf-8")
    code, told = answer(capsys, "map", "acme.csv", "--supplier", "ACME")
    assert code == 3 and told["files"] == [] and path.read_text(encoding="utf-8") == "mended"
    assert told["problems"][0]["code"] == "output-exists" and "--replace" in told["problems"][0]["remedy"]
    assert answer(capsys, "map", "acme.csv", "--supplier", "ACME", "--replace")[0] == 0
    assert "supplier" in path.read_text(encoding="utf-8")


def test_the_list_is_never_written_over(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = (folder / "acme.csv").read_bytes()
    code, told = answer(capsys, "map", "acme.csv", "--mapping", "acme.csv", "--replace")
    assert code == 3 and told["problems"][0]["code"] == "output-is-input"
    assert (folder / "acme.csv").read_bytes() == before


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("read", "acme.csv", "--supplier", "NOBODY", "--currency", "USD"), "no-price-mapping"),
        (("read", "no.csv", "--currency", "USD", "--mapping", "m.toml"), "missing-file"),
        (("read", "acme.csv", "--mapping", "m.toml"), "no-currency"),
        (("read", "acme.csv", "--mapping", "m.toml", "--book", "no.xlsx"), "missing-file"),
        (("read", "acme.csv", "--mapping", "bad.toml", "--currency", "USD"), "bad-price-mapping"),
        (("map", "no.csv"), "missing-file"),
        (("map", "words.txt"), "list-not-understood"),
    ],
)
def test_refusals(folder: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], code: str) -> None:
    assert main(["prices", "map", "acme.csv", "--mapping", "m.toml"]) == 0
    (folder / "bad.toml").write_text("x", encoding="utf-8")
    (folder / "words.txt").write_text("some words\nand more\nof them\n", encoding="utf-8")
    exit_code, told = answer(capsys, *words)
    assert exit_code == 1
    assert code in [problem["code"] for problem in told["problems"]]


def test_without_polars(folder: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """The library is an extra: who has not installed it is told how."""
    assert main(["prices", "map", "acme.csv", "--supplier", "ACME"]) == 0
    monkeypatch.setitem(sys.modules, "polars", None)
    code, told = answer(capsys, "read", "acme.csv", "--supplier", "ACME", "--currency", "USD")
    assert code == 3
    assert [problem["code"] for problem in told["problems"]] == ["no-polars"]
    assert "pip install 'quotekit[prices]'" in told["problems"][0]["remedy"]


def test_a_zip_member_named_on_the_line(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import zipfile

    with zipfile.ZipFile("acme.zip", "w") as package:
        package.write("acme.csv")
        package.writestr("old.csv", "x")
    assert answer(capsys, "map", "acme.zip", "--supplier", "ACME")[1]["problems"][0]["code"] == "which-member"
    assert answer(capsys, "map", "acme.zip", "--supplier", "ACME", "--member", "acme.csv")[0] == 0
    code, told = answer(capsys, "read", "acme.zip", "--supplier", "ACME", "--currency", "USD", "--on", "2026-03-15")
    assert code == 0 and told["fates"]["in force"] == 2


@pytest.mark.parametrize(
    "words", [("read", "a.csv", "--currency", "XYZ"), ("read", "a.csv", "--on", "soon"), ("burn",), ()]
)
def test_wrong_usage(words: tuple[str, ...], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["prices", *words]) == 2


def test_places_are_said_first_character_first(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As they stand in the mapping, where a wrong one is mended."""
    lines = ["PART   NET    ", "A-1    12.50  ", "B-22    3.00  ", "C-333  99.00  "]
    (folder / "acme.txt").write_text("\n".join(lines), encoding="utf-8")
    assert main(["prices", "map", "acme.txt", "--supplier", "ACME"]) == 0
    said = capsys.readouterr().out
    mapping = (folder / "ACME price list.toml").read_text(encoding="utf-8")
    assert "number: “[1, 5]”" in said and "number = [1, 5]" in mapping
