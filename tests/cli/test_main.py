"""Usage, help, exit codes, and the last guard: a person never sees a traceback."""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from quotekit.cli import check, quote
from quotekit.cli.main import main
from tests.cli.quote_contract import check_contract
from tests.cli.small_shop import job, shop_book, write_book

VERBS = ["new", "demo", "check", "quote"]


def failing(fault: BaseException) -> object:
    def run(options: argparse.Namespace) -> int:
        raise fault

    return run


@pytest.mark.parametrize("verb", VERBS)
def test_the_help_of_a_verb_teaches_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main([verb, "--help"]) == 0
    out = capsys.readouterr().out
    assert "example" in out and f"quotekit {verb}" in out


def test_the_first_help_names_every_verb_and_exit_code(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--help"]) == 0
    out = capsys.readouterr().out
    assert all(f"quotekit {verb}" in out for verb in VERBS)
    assert "0 done" in out and "3 the disk" in out


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["price"],
        ["quote", "book.xlsx"],
        ["check"],
        ["new"],
        ["quote", "a", "b", "--colour"],
        ["new", "f", "--demo", "--book", "b"],
    ],
)
def test_wrong_usage_is_exit_2_and_says_so_on_stderr(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert main(arguments) == 2
    out, err = capsys.readouterr()
    assert out == "" and "usage: quotekit" in err


def test_help_loads_nothing_heavy() -> None:
    """`--help` stays quick: no engine, no workbook library, no rich, no dates of Babel."""
    heavy = [
        "quotekit.pricing",
        "quotekit.model",
        "xlsxwriter",
        "python_calamine",
        "pydantic",
        "babel",
        "rich",
        "PIL",
        "decimal",
    ]
    script = (
        "import sys; from quotekit.cli.main import main; main(['--help']);"
        f" print([m for m in {heavy} if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"


def test_python_m_quotekit_is_the_same_program() -> None:
    done = subprocess.run([sys.executable, "-m", "quotekit", "--help"], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("usage: quotekit")


@pytest.mark.parametrize(
    ("fault", "code", "said"),
    [
        (KeyboardInterrupt(), 130, "Stopped"),
        (ZeroDivisionError("secret"), 3, "fault of quotekit"),
        (PermissionError(13, "Permission denied", "a.xlsx"), 3, "a.xlsx: The disk said: Permission denied."),
        (OSError(28, "No space left on device"), 3, "disk is full"),
        (MemoryError(), 3, "fault of quotekit"),
        (RecursionError("deep"), 3, "fault of quotekit"),
    ],
)
def test_no_traceback_ever(
    fault: BaseException, code: int, said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(check, "run", failing(fault))
    monkeypatch.delenv("QUOTEKIT_DEBUG", raising=False)
    assert main(["check", "book.xlsx"]) == code
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err and "Traceback" not in err


def test_with_json_a_fault_is_one_object_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(quote, "run", failing(OSError(28, "No space left on device")))
    assert main(["quote", "book.xlsx", "job.xlsx", "--json"]) == 3
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert [problem["code"] for problem in value["problems"]] == ["disk"]


def test_who_mends_quotekit_gets_the_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "run", failing(ZeroDivisionError("here")))
    monkeypatch.setenv("QUOTEKIT_DEBUG", "1")
    with pytest.raises(ZeroDivisionError, match="here"):
        main(["check", "book.xlsx"])


def test_a_file_name_the_screen_cannot_show_stops_nothing(tmp_path: Path) -> None:
    """A screen of plain ASCII, a folder named in Greek: the quote is written and its name printed with escapes."""
    folder = tmp_path / "Ωμέγα"
    folder.mkdir()
    book = write_book(folder / "book.xlsx", shop_book())
    paper = write_book(folder / "job.xlsx", job())
    done = subprocess.run(
        [sys.executable, "-m", "quotekit", "quote", str(book), str(paper)],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"},
    )
    assert done.returncode == 0
    assert b"\\u03a9" in done.stdout and b"117-1 costing.xlsx" in done.stdout


def test_a_slip_in_a_file_name_is_told_the_name_that_is_there(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_book(tmp_path / "shop book.xlsx", shop_book())
    assert main(["check", str(tmp_path / "shop bok.xlsx")]) == 1
    assert f'In {tmp_path} there is "shop book.xlsx".' in capsys.readouterr().err
    assert main(["check", str(tmp_path / "zzzz")]) == 1
    assert f"No workbook in {tmp_path} has a name like it." in capsys.readouterr().err
    assert main(["check", str(tmp_path / "elsewhere" / "shop book.xlsx")]) == 1
    assert f"There is no folder {tmp_path / 'elsewhere'} either" in capsys.readouterr().err


def test_a_name_with_spaces_and_no_quotes_is_told_of_them(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["quote", "my", "shop", "book.xlsx", "job.xlsx"]) == 2
    err = capsys.readouterr().err
    assert "between quotes" in err and "quotekit --help explains" in err
    assert main(["quote", "book.xlsx"]) == 2
    err = capsys.readouterr().err
    assert "required: JOB" in err and "quotekit quote --help explains" in err and "between quotes" not in err


@pytest.mark.parametrize(("width", "longest"), [("60", 60), ("90", 90)])
@pytest.mark.parametrize("verb", ["accept", "close", "review"])
def test_prose_of_the_help_is_as_wide_as_the_screen(
    verb: str, width: str, longest: int, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Examples stay as they are typed; sentences are never broken twice, by us and by the screen."""
    monkeypatch.setenv("COLUMNS", width)
    assert main([verb, "--help"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert any(line.startswith(f"  quotekit {verb} ") for line in lines)
    assert max(len(line) for line in lines if not line.startswith("  ")) <= longest


@pytest.mark.parametrize("words", [["quote", ".", "."], ["accept", "."], ["check", "."]])
def test_a_folder_for_a_file_is_named(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """Also where its name is a dot, which is the name of no file."""
    assert main(words) == 1
    assert ".: . is a folder" in capsys.readouterr().err


@pytest.mark.parametrize("words", [["jobs"], ["pay", "117", "5"], ["shelf"], ["ledger", "check"]])
def test_a_fault_of_the_ledger_is_no_quote_as_json(
    words: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nor does it say that nothing was recorded: the disk may have failed after."""
    assert main([*words, "--ledger", str(tmp_path / "none.db"), "--json"]) == 3
    value = json.loads(capsys.readouterr().out)
    assert list(value) == ["problems"]
    assert [problem["code"] for problem in value["problems"]] == ["ledger-missing"]


def test_a_fault_of_the_ledger_while_issuing_is_a_quote_without_figures(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book = write_book(tmp_path / "shop book.xlsx", shop_book())
    assert (
        main(["issue", str(book), str(write_book(tmp_path / "job.xlsx", job())), "--ledger", str(tmp_path), "--json"])
        == 3
    )
    check_contract(json.loads(capsys.readouterr().out))
