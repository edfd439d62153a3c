"""`quotekit quote`: what it writes, what it refuses, what it prints; the workbooks are read elsewhere."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli import inputs
from quotekit.cli.inputs import Inputs
from quotekit.cli.main import main
from quotekit.ledger import hidden_folder
from quotekit.model.job import Job
from quotekit.problems import Place, Problem, error, warning
from tests import build
from tests.cli.quote_contract import check_contract
from tests.documents.test_costing_of_the_engine import a_full_book

BOOK = replace(a_full_book(), sha256="b" * 64)
CUSTOMER, COSTING = "J-1-1 quote.xlsx", "J-1-1 costing.xlsx"
ODD = warning(
    Place("book.xlsx", "Shop", "A9"), "unknown-setting", "Setting `Colour` is not known.", "Take it out.", "Colour"
)
BROKEN = error(
    Place("book.xlsx", "Parts", "D14"), "number-as-text", "Pack cost is text.", "Type 12 as a number.", "$12"
)


def a_worn_job(**values: Any) -> Job:
    return replace(build.a_job(build.a_finding_on("WORN", "left"), **values), sha256="c" * 64)


class Shop:
    """A folder with a book and a job whose contents are given instead of read."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder, self.monkeypatch = folder, monkeypatch
        self.book, self.job = folder / "book.xlsx", folder / "job.xlsx"
        self.book.write_bytes(b"the book")
        self.job.write_bytes(b"the job")
        self.gives(a_worn_job())

    def gives(self, job: Job | None, *problems: Problem) -> None:
        read = Inputs(book=BOOK, job=job, problems=problems)
        self.monkeypatch.setattr(inputs, "read_inputs", lambda book, job=None: read)

    def quote(self, *options: str) -> int:
        return main(["quote", str(self.book), str(self.job), *options])

    def written(self) -> set[str]:
        return {path.name for path in self.folder.iterdir()} - {"book.xlsx", "job.xlsx"}


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    return Shop(tmp_path, monkeypatch)


def test_both_workbooks_are_written_beside_the_job(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert shop.quote() == 0
    assert shop.written() == {CUSTOMER, COSTING}
    assert capsys.readouterr().out.splitlines() == [str(shop.folder / CUSTOMER), str(shop.folder / COSTING)]


def test_book_and_job_are_left_as_they_were(shop: Shop) -> None:
    assert shop.quote() == 0
    assert (shop.book.read_bytes(), shop.job.read_bytes()) == (b"the book", b"the job")


def test_out_names_another_folder_which_is_made(shop: Shop) -> None:
    out = shop.folder / "quotes" / "march"
    assert shop.quote("--out", str(out)) == 0
    assert {path.name for path in out.iterdir()} == {CUSTOMER, COSTING}


def test_two_runs_give_the_same_bytes(shop: Shop) -> None:
    first, second = shop.folder / "1", shop.folder / "2"
    assert shop.quote("--out", str(first)) == shop.quote("--out", str(second)) == 0
    for name in (CUSTOMER, COSTING):
        assert (first / name).read_bytes() == (second / name).read_bytes()


def test_json_is_one_object_and_keeps_the_contract(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    shop.gives(a_worn_job(), ODD)
    assert shop.quote("--json") == 0
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert value["files"] == [str(shop.folder / CUSTOMER), str(shop.folder / COSTING)]
    assert [problem["code"] for problem in value["problems"]] == ["unknown-setting"]
    assert value["tiers"][0]["items"] == ["NEWBUSH@left"]


def test_an_error_writes_nothing_and_is_exit_1(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    shop.gives(a_worn_job(), ODD, BROKEN)
    assert shop.quote() == 1
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("book.xlsx:Parts!D14: Pack cost is text.\n    | $12\n    Type 12 as a number.\n")
    assert "1 error, 1 warning." in err and "Nothing was written." in err
    assert shop.written() == set()


def test_an_error_with_json_has_every_problem_and_no_tier(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    shop.gives(None, BROKEN)
    assert shop.quote("--json") == 1
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert (value["tiers"], value["files"], value["job"]) == ([], [], None)
    assert value["problems"][0]["place"] == "book.xlsx:Parts!D14"
    assert value["job_sha256"] is not None


def test_an_error_of_the_engine_writes_nothing_too(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    """A planned item that is not permitted, or that nothing on the job calls for, is an error of the plan."""
    shop.gives(a_worn_job(plan=(build.a_plan_item("better", "WELDING"),)))
    assert shop.quote("--json") == 1
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert value["job"] == "J-1" and value["tiers"] == []
    assert any(problem["severity"] == "error" for problem in value["problems"])
    assert shop.written() == set()


def test_an_existing_file_is_kept_and_neither_is_written(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    (shop.folder / COSTING).write_text("last year's")
    assert shop.quote() == 3
    assert (shop.folder / COSTING).read_text() == "last year's"
    assert shop.written() == {COSTING}
    assert "--replace" in capsys.readouterr().err


def test_replace_writes_over_both(shop: Shop) -> None:
    for name in (CUSTOMER, COSTING):
        (shop.folder / name).write_text("old")
    assert shop.quote("--replace") == 0
    assert shop.written() == {CUSTOMER, COSTING}
    assert all((shop.folder / name).read_bytes().startswith(b"PK") for name in (CUSTOMER, COSTING))


@pytest.mark.parametrize("owner", [f".~lock.{COSTING}#", f"~${CUSTOMER}"])
def test_a_file_that_is_open_is_not_written_even_with_replace(
    owner: str, shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    (shop.folder / owner).write_text("")
    assert shop.quote("--replace", "--json") == 3
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert [problem["code"] for problem in value["problems"]] == ["output-open"]
    assert shop.written() == {owner}


def test_a_job_named_like_its_quote_is_never_written_over(shop: Shop) -> None:
    shop.job = shop.folder / CUSTOMER
    shop.job.write_bytes(b"the job")
    assert shop.quote("--replace") == 3
    assert shop.job.read_bytes() == b"the job"


def test_nothing_to_offer_writes_the_costing_alone_with_a_warning(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    shop.gives(build.a_job(build.a_finding_on("UNHEARD", severity="safety")))
    assert shop.quote() == 0
    out, err = capsys.readouterr()
    assert shop.written() == {COSTING}
    assert out.splitlines() == [str(shop.folder / COSTING)]
    assert err.count("no option can be offered") == 1


def test_an_earlier_customer_quote_that_no_longer_holds_is_named(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    assert shop.quote() == 0
    shop.gives(build.a_job(build.a_finding_on("UNHEARD", severity="safety")))
    capsys.readouterr()
    assert shop.quote("--replace", "--json") == 0
    problems = json.loads(capsys.readouterr().out)["problems"]
    assert {"earlier-quote": str(shop.folder / CUSTOMER)}.items() <= {
        problem["code"]: problem["place"] for problem in problems
    }.items()
    assert (shop.folder / CUSTOMER).exists()


def test_a_job_number_with_a_slash_stays_in_its_folder(shop: Shop) -> None:
    shop.gives(a_worn_job(job_number="../2026/7", version=3))
    assert shop.quote() == 0
    assert shop.written() == {"-2026-7-3 quote.xlsx", "-2026-7-3 costing.xlsx"}


def test_a_folder_that_may_not_be_written_is_exit_3(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Said by a stand-in for the disk, as root may write anywhere."""

    def refuse(**_: object) -> str:
        raise PermissionError(13, "Permission denied", str(shop.folder / ".quotekit-1"))

    monkeypatch.setattr(hidden_folder.tempfile, "mkdtemp", refuse)
    assert shop.quote() == 3
    err = capsys.readouterr().err
    assert f"{shop.folder}: The disk said: Permission denied." in err and "--out" in err and "Traceback" not in err
    assert shop.written() == set()


def test_out_that_is_a_file_is_exit_3(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert shop.quote("--out", str(shop.book)) == 3
    err = capsys.readouterr().err
    assert "A file stands where a folder is wanted" in err and "Traceback" not in err
    assert shop.book.read_bytes() == b"the book"


def test_a_full_disk_leaves_nothing(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from quotekit.workbook import write_sheet

    def full(value: object, path: Path) -> None:
        path.write_bytes(b"PK")
        raise OSError(28, "No space left on device", str(path))

    monkeypatch.setattr(write_sheet, "write_workbook", full)
    assert shop.quote() == 3
    assert "disk is full" in capsys.readouterr().err
    assert shop.written() == set()


def test_totals_are_told_on_stderr(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    assert shop.quote() == 0
    assert any(
        line.startswith("Put right: ") and line.endswith(" USD") for line in capsys.readouterr().err.splitlines()
    )


def test_a_figure_too_large_for_a_workbook_is_a_problem_of_the_input(
    shop: Shop, capsys: pytest.CaptureFixture[str]
) -> None:
    shop.gives(a_worn_job(one_off=(build.a_one_off(1, "charge", "1000000", unit_price="123456789012.35"),)))
    assert shop.quote("--json") == 1
    value = json.loads(capsys.readouterr().out)
    check_contract(value)
    assert [problem["code"] for problem in value["problems"]][-1] == "figure-too-large"
    assert shop.written() == set()
