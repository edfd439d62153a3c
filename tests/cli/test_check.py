"""`quotekit check`: every problem in one pass, and what no tax touches; it writes nothing."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from quotekit.cli import inputs
from quotekit.cli.inputs import Inputs
from quotekit.cli.main import main
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Place, Problem, error, warning
from tests import build
from tests.documents.test_costing_of_the_engine import a_full_book

BOOK = replace(a_full_book(), file="book.xlsx")
BROKEN = error(
    Place("book.xlsx", "Parts", "D14"), "number-as-text", "Pack cost is text.", "Type 12 as a number.", "$12"
)
ODD = warning(Place("job.xlsx", "Job", "A9"), "unknown-field", "Field `Colour` is not known.", "Take it out.")


def reads(
    monkeypatch: pytest.MonkeyPatch, *problems: Problem, book: ShopBook | None = BOOK, job: Job | None = None
) -> None:
    read = Inputs(book=book, job=job, problems=problems)
    monkeypatch.setattr(inputs, "read_inputs", lambda book, job=None: read)


def test_a_good_book_is_exit_0_and_says_what_no_tax_touches(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    reads(monkeypatch)
    assert main(["check", "book.xlsx"]) == 0
    out = capsys.readouterr().out
    assert "STATE touches every charge." in out
    assert "CITY does not touch labour, cores, sublet" in out
    assert out.endswith("No problems found.\n")


def test_errors_are_exit_1_with_every_problem_on_stderr(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    reads(monkeypatch, ODD, BROKEN)
    assert main(["check", "book.xlsx", "job.xlsx"]) == 1
    err = capsys.readouterr().err
    assert err.index("book.xlsx:Parts!D14") < err.index("job.xlsx:Job!A9")
    assert err.endswith("1 error, 1 warning.\n")


def test_a_book_that_cannot_be_read_is_exit_1(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    reads(monkeypatch, BROKEN, book=None)
    assert main(["check", "book.xlsx", "--json"]) == 1
    value = json.loads(capsys.readouterr().out)
    assert [problem["code"] for problem in value["problems"]] == ["number-as-text"]
    assert value["taxes"] == []


def test_a_saving_larger_than_its_members_bring_is_a_warning(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    bundles = {"ALL": build.a_bundle("ALL", ["NEWBUSH"], "labour amount off", 9000)}
    reads(monkeypatch, book=replace(BOOK, bundles=bundles))
    assert main(["check", "book.xlsx"]) == 0
    assert "more than its members bring alone" in capsys.readouterr().err


def test_warnings_of_the_engine_about_a_job_are_told_once(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    rates = (build.a_rate(cost=None), build.a_rate("WELD", 130, None))
    job = build.a_job(build.a_finding_on("WORN", "left"))
    reads(monkeypatch, book=replace(BOOK, labour_rates=rates), job=job)
    assert main(["check", "book.xlsx", "job.xlsx", "--json"]) == 0
    problems = [tuple(problem.values()) for problem in json.loads(capsys.readouterr().out)["problems"]]
    assert problems and len(problems) == len(set(problems))
    assert {problem[2] for problem in problems} == {"warning"}


def test_an_error_in_the_plan_is_found_by_check_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    job = build.a_job(build.a_finding_on("WORN", "left"), plan=(build.a_plan_item("better", "WELDING"),))
    reads(monkeypatch, job=job)
    assert main(["check", "book.xlsx", "job.xlsx"]) == 1


def test_check_writes_nothing(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    reads(monkeypatch, job=build.a_job(build.a_finding_on("WORN", "left")))
    main(["check", "book.xlsx", "job.xlsx"])
    assert list(tmp_path.iterdir()) == []
