"""Request `findings`: those of the machine class, what is recorded, what comes next; of a job with errors too."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from quotekit.cli.answers import measurement
from quotekit.cli.answers.findings import answer
from quotekit.cli.answers.request import Refused
from quotekit.cli.answers.shapes import wrong_word
from tests.cli.small_shop import Sheets, job, shop_book, write_book

MACHINES = [
    ["Code", "Machine class", "Positions"],
    ["SNOW", "Snow thrower", "left; right"],
    ["TRAILER", "Trailer", "left front; right front; left rear; right rear"],
]


def a_book() -> Sheets:
    book = shop_book()
    book["Machines"] = [list(row) for row in MACHINES]
    book["Findings"] = [
        ["Code", "Finding", "Severity", "Measure", "Unit", "Fails when", "Limit", "Machine", "Also check"],
        ["WORN", "Bushing worn", "needed", "bore", "in", "above", 0.755, "SNOW", "FRAYED; BRAKE"],
        ["FRAYED", "Belt frayed", "advised", None, None, None, None, None, None],
        ["BRAKE", "Brake does not hold", "safety", None, None, None, None, "TRAILER", None],
    ]
    return book


def asked(folder: Path, job_sheets: Sheets, book: Sheets | None = None) -> dict[str, Any]:
    paths = {
        "document": write_book(folder / "job.xlsx", job_sheets),
        "book": write_book(folder / "shop book.xlsx", book or a_book()),
    }
    return answer({"do": "findings", **{what: {"copy": str(path), "path": str(path)} for what, path in paths.items()}})


def test_only_findings_of_the_machine_class_are_listed(tmp_path: Path) -> None:
    found = asked(tmp_path, job())
    assert (found["machine"], found["positions"]) == ("Snow thrower", ["left", "right"])
    assert [one["code"] for one in found["findings"]] == ["WORN", "FRAYED"]
    assert found["findings"][0] == {
        "code": "WORN", "finding": "Bushing worn", "severity": "needed", "measure": "bore", "unit": "in",
        "fails_when": "above", "limit": "0.755", "as_new": "", "limit_source": "", "also_check": ["FRAYED", "BRAKE"],
        "needs_side": True,
    }  # fmt: skip


def test_a_finding_can_be_asked_about_as_it_was_given(tmp_path: Path) -> None:
    """The window sends it back whole, lists and truth values too, with what was typed."""
    for finding in asked(tmp_path, job())["findings"]:
        words = json.loads(json.dumps({"do": "measurement", "finding": finding, "measured": "0.9", "unit": ""}))
        assert wrong_word("measurement", words) is None
        assert measurement.answer(words)["said"]


def test_what_is_recorded_is_told_with_its_row(tmp_path: Path) -> None:
    found = asked(tmp_path, job(findings=(("WORN", "both", 0.761), ("FRAYED", None, None))))
    assert found["recorded"] == [
        {"code": "WORN", "sides": ["both"], "row": 2},
        {"code": "FRAYED", "sides": [], "row": 3},
    ]


@pytest.mark.parametrize("measured, following", [(0.761, ["FRAYED"]), (0.7, [])])
def test_what_a_fault_says_to_check_also_comes_next(tmp_path: Path, measured: float, following: list[str]) -> None:
    """Only what may be found on this machine; a measurement that passes asks for nothing."""
    found = asked(tmp_path, job(findings=(("WORN", "left", measured),)))
    assert [(one["why"], one["code"]) for one in found["next"]] == [("look", code) for code in following]


def test_what_a_limit_needs_measured_comes_first(tmp_path: Path) -> None:
    book = a_book()
    book["Fits only if"] = [["Remedy", "Finding", "From", "To"], ["NEWBUSH", "WORN", None, 0.8]]
    found = asked(tmp_path, job(findings=(("WORN", "left", None),)), book)
    assert found["next"][0] == {"why": "measure", "code": "WORN", "side": "left"}
    assert found["next"][1]["code"] == "FRAYED"


@pytest.mark.parametrize("broken", [("NONSENSE", None, None), ("WORN", "middle", 0.761), ("WORN", None, "wide")])
def test_a_job_with_errors_is_helped_all_the_same(tmp_path: Path, broken: tuple[object, ...]) -> None:
    """It is being filled in: what it says so far tells what to check also."""
    found = asked(tmp_path, job(findings=(("WORN", "left", 0.761), broken)))
    assert [one["code"] for one in found["findings"]] == ["WORN", "FRAYED"]
    assert [one["code"] for one in found["next"]] == ["FRAYED"]


def test_a_job_without_a_machine_class_may_have_any_finding(tmp_path: Path) -> None:
    sheets = job()
    sheets["Job"] = [row for row in sheets["Job"] if row[0] != "Machine class"]
    found = asked(tmp_path, sheets)
    assert (found["machine"], found["positions"]) == ("", [])
    assert [one["code"] for one in found["findings"]] == ["WORN", "FRAYED", "BRAKE"]


def test_a_shop_book_that_can_not_be_read_is_refused(tmp_path: Path) -> None:
    with pytest.raises(Refused) as refused:
        asked(tmp_path, job(), job())
    assert [problem.code for problem in refused.value.problems] == ["other-workbook"]
