"""A command run for a form says and does what it does at a terminal, and nothing else may be run."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers.kinds import answer_of
from quotekit.cli.answers.request import Refused
from quotekit.cli.answers.run_command import _which_ledger, answer
from quotekit.cli.answers.serve import serve
from quotekit.cli.report import heard_steps
from quotekit.cli.which_ledger import VARIABLE
from tests.cli.consent_shop import BOOK_FILE, JOB_FILE, LEDGER, Shop, agreed_shop, issued_shop

PAY = ("pay", "117", "60", "--how=cash", "--on=2026-11-24")


@pytest.fixture(autouse=True)
def no_ledger_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """The environment of the tests names none."""
    monkeypatch.delenv(VARIABLE, raising=False)


def run(shop: Shop, *words: str, book: bool = True) -> dict[str, Any]:
    """A command run as a form asks for it."""
    return answer({
        "words": words, "folder": str(shop.folder), "book": str(shop.folder / BOOK_FILE) if book else None
    })  # fmt: skip


def test_it_says_and_records_what_the_command_does(tmp_path: Path) -> None:
    """The same words at a terminal: the same text, the same entry."""
    here, there = agreed_shop(tmp_path / "a"), agreed_shop(tmp_path / "b")
    told, typed = run(here, *PAY), there.say(*PAY)
    assert (told["code"], told["said"]) == (typed.code, (typed.err + typed.out).strip()) and typed.code == 0
    assert [one.body for one in here.entries("paid")] == [one.body for one in there.entries("paid")]


def test_a_refusal_has_its_problems_with_their_places(tmp_path: Path) -> None:
    """Exit code 1, nothing recorded, and each problem apart."""
    told = run(issued_shop(tmp_path), "pay", "171", "60")
    assert told["code"] == 1 and told["said"].endswith("Nothing was recorded.")
    assert [one["code"] for one in told["problems"]] == ["unknown-job"]
    assert told["problems"][0]["remedy"] in told["said"]


def test_problems_of_a_workbook_have_cells(tmp_path: Path) -> None:
    """So that the list of problems can go to them."""
    shop = issued_shop(tmp_path)
    shop.write_book(rate="eighty")  # type: ignore[arg-type]
    told = run(shop, "issue", str(shop.folder / BOOK_FILE), str(shop.folder / JOB_FILE))
    wrong = [one for one in told["problems"] if one["severity"] == "error"]
    assert told["code"] == 1 and [(one["sheet"], one["cell"]) for one in wrong] == [("Labour rates", "C2")]


def test_files_are_named_whole(tmp_path: Path) -> None:
    """What was written can be opened from anywhere."""
    shop = agreed_shop(tmp_path)
    told = run(shop, "work-order", "117", "--on=2026-11-24")
    assert told["files"] == [str(shop.folder / "117-1 work order.xlsx")] and Path(told["files"][0]).is_file()


def test_a_line_that_happens_to_be_no_file_is_none(tmp_path: Path) -> None:
    """What is said is not taken for a file, also where it holds a sign that no name may."""
    shop = agreed_shop(tmp_path)
    assert run(shop, "jobs")["files"] == []
    assert run(shop, "clock", "117", "--hours=1", "--person=a\x00b", "--on=2026-11-24")["files"] == []


def test_it_works_in_the_folder_of_the_shop_and_goes_back(tmp_path: Path) -> None:
    """A name without a folder is one of the shop's, and the engine's own folder stays."""
    shop, before = agreed_shop(tmp_path), Path.cwd()
    told = run(shop, "ledger", "backup", "copy.db")
    assert (told["code"], told["files"], Path.cwd()) == (0, [str(shop.folder / "copy.db")], before)
    run(shop, "pay", "171", "60")
    assert Path.cwd() == before


@pytest.mark.parametrize(
    "words", [(), ("demo",), ("quote", "a", "b"), ("watch", "."), ("addin", "remove"), ("answer",)]
)
def test_only_commands_of_a_form_are_run(tmp_path: Path, words: tuple[str, ...]) -> None:
    """A workbook that could make the office ask for anything else gets nothing."""
    with pytest.raises(Refused) as refused:
        run(issued_shop(tmp_path), *words)
    assert [problem.code for problem in refused.value.problems] == ["not-run-here"]


def test_a_folder_that_is_gone_is_told(tmp_path: Path) -> None:
    """A disk that was unplugged."""
    with pytest.raises(Refused) as refused:
        answer({"words": ["jobs"], "folder": str(tmp_path / "gone"), "book": None})
    assert [problem.code for problem in refused.value.problems] == ["missing-folder"]


def test_wrong_usage_ends_nothing(tmp_path: Path) -> None:
    """The parser of commands would end the program: here it is an answer."""
    told = run(issued_shop(tmp_path), "pay", "117")
    assert told["code"] == 2 and "AMOUNT" in told["said"]


def test_nothing_waits_for_a_keyboard(tmp_path: Path) -> None:
    """`-` reads standard input at a terminal; here there is none, and the requests are not read instead."""
    before = sys.stdin
    told = run(issued_shop(tmp_path), "accept", "-", "--text")
    assert told["code"] == 1 and sys.stdin is before


def test_the_ledger_is_that_of_the_shop_book(tmp_path: Path) -> None:
    """With two ledgers in the folder the shop book says which."""
    shop = agreed_shop(tmp_path)
    (shop.folder / "shop ledger.db").rename(shop.folder / "shop book ledger.db")
    (shop.folder / "shop ledger.db-end").rename(shop.folder / "shop book ledger.db-end")
    (shop.folder / "another ledger.db").write_bytes(b"")
    assert run(shop, "jobs")["code"] == 0
    assert [one["code"] for one in run(shop, "jobs", book=False)["problems"]] == ["which-ledger"]


def test_a_shop_book_of_another_name_begins_no_second_ledger(tmp_path: Path) -> None:
    """After times were taken over the book has a new name: versions go on counting in the one ledger that is there."""
    shop = issued_shop(tmp_path)
    job = str(shop.folder / JOB_FILE)
    told = run(shop, "issue", str(shop.folder / BOOK_FILE), job, "--on=2026-11-21")
    assert "version 2, is issued" in told["said"]
    assert [path.name for path in shop.folder.glob("*.db")] == [LEDGER]


def test_the_environment_comes_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who names a ledger there means it."""
    shop, other = agreed_shop(tmp_path / "a"), agreed_shop(tmp_path / "b")
    monkeypatch.setenv(VARIABLE, str(other.ledger))
    assert run(shop, *PAY)["code"] == 0
    assert (len(shop.entries("paid")), len(other.entries("paid"))) == (0, 1)


def test_over_the_pipe_steps_are_told_and_nothing_else_is_printed(tmp_path: Path) -> None:
    """What a command prints is in its answer, never among the lines of the pipe."""
    shop = agreed_shop(tmp_path)
    asked = [
        {"id": 1, "do": "run", "words": ["jobs"], "folder": str(shop.folder)},
        {"id": 2, "do": "run", "words": ["ledger", "check"], "folder": str(shop.folder)},
        {"id": 3, "do": "run", "words": ["watch", "."], "folder": str(shop.folder)},
    ]
    answers = io.BytesIO()
    serve(io.BytesIO(b"".join(json.dumps(one).encode() + b"\n" for one in asked)), answers)
    lines = [json.loads(line) for line in answers.getvalue().splitlines()[1:]]
    assert [(one["id"], "step" in one) for one in lines] == [(1, False), (2, True), (2, False), (3, False)]
    assert "117" in lines[0]["done"]["said"] and lines[2]["done"]["code"] == 0
    assert lines[3]["problems"][0]["code"] == "not-run-here"


def test_a_long_command_shows_signs_of_life(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The office stops an engine that is silent for two minutes; a command that takes longer goes on."""
    shop, told = agreed_shop(tmp_path), list[str]()
    monkeypatch.setattr("quotekit.cli.answers.run_command.SIGN_SECONDS", 0.05)
    monkeypatch.setattr("quotekit.cli.jobs._print_all", lambda *_: time.sleep(0.3) or 0)
    with heard_steps(told.append):
        run(shop, "jobs")
        many = len(told)
        time.sleep(0.2)
    assert many >= 2 and set(told) == {"Still at it"} and len(told) == many


def test_the_kinds_are_known() -> None:
    """The table names modules that are there."""
    assert answer_of("run") is answer and answer_of("lists") is not None


def test_the_working_folder_is_given_back_after_a_fault(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also where the command itself breaks: a fault of ours is told as one."""
    shop, before = agreed_shop(tmp_path), os.getcwd()
    monkeypatch.setattr("quotekit.cli.jobs._print_all", lambda *_: 1 / 0)
    told = run(shop, "jobs")
    assert told["code"] == 3 and [one["code"] for one in told["problems"]] == ["quotekit-fault"]
    assert os.getcwd() == before


READS = """
import os
from quotekit.cli import jobs
jobs._print_all = lambda *_: print(os.read(0, 99)) or 0
from quotekit.cli.main import main
main(["answer"])
"""
"""An engine in which `jobs` reads standard input past Python, as a program that is started would."""


def test_what_reads_standard_input_takes_no_requests(tmp_path: Path) -> None:
    """It finds it empty, and the next request is answered."""
    shop = agreed_shop(tmp_path)
    asked = [
        {"id": 1, "do": "run", "words": ["jobs"], "folder": str(shop.folder)},
        {"id": 2, "do": "run", "words": ["jobs", "117"], "folder": str(shop.folder)},
    ]
    ended = subprocess.run(
        [sys.executable, "-P", "-c", READS],
        input=b"".join(json.dumps(one).encode() + b"\n" for one in asked),
        capture_output=True,
        timeout=120,
        check=False,
    )
    done = {line["id"]: line["done"]["said"] for line in map(json.loads, ended.stdout.splitlines()[1:])}
    assert done[1] == "b''" and "Version 1 issued" in done[2]


@pytest.mark.parametrize(
    ("words", "takes"),
    [
        (("prices", "map", "list.csv"), False),
        (("prices", "read", "list.csv"), False),
        (("prices", "propose", BOOK_FILE), True),
        (("prices", "undo", BOOK_FILE), True),
        (("batch", BOOK_FILE, "jobs"), True),
        (("take-over", "--undo", BOOK_FILE), True),
    ],
)
def test_the_ledger_of_the_book_goes_where_it_is_taken(tmp_path: Path, words: tuple[str, ...], takes: bool) -> None:
    """How a list is read has nothing to do with it: said there, it would be wrong usage."""
    shop = issued_shop(tmp_path)
    said = run(shop, *words)["said"]
    assert "usage:" not in said
    assert _which_ledger(words, str(shop.folder / BOOK_FILE)) == (
        ["--ledger", str(shop.folder / LEDGER)] if takes else []
    )
