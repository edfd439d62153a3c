"""A cell that could not be read gives one problem: what only follows from it is not told."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from tests.workbook.books import codes, good_book, read_book, read_job_with


@pytest.mark.parametrize(
    ("sheet", "cells", "cell", "code"),
    [
        ("Markup", {"B2": "20"}, "B2", "text-number"),
        ("Markup", {"C2": -1}, "C2", "negative"),
        ("Findings", {"G2": "sideways"}, "G2", "not-a-word"),
        ("Parts", {"E2": 0, "G2": "5"}, "G2", "text-number"),
        ("Labour rates", {"A4": "MAIN", "C4": 90, "E2": "soon"}, "E2", "not-a-date"),
        ("Fits only if", {"C2": "1/2", "D2": ""}, "C2", "text-number"),
    ],
)
def test_one_slip_of_the_shop_book_is_one_problem(
    tmp_path: Path, sheet: str, cells: dict[str, Any], cell: str, code: str
) -> None:
    _book, problems = read_book(tmp_path, {sheet: cells})
    assert codes(problems) == [(code, sheet, cell)], problems


@pytest.mark.parametrize(
    ("sheet", "cells", "cell", "code"),
    [
        ("Findings", {"A2": "OTHER", "H2": "bad", "I2": "a crack"}, "H2", "not-a-word"),
        ("One-off", {"A2": "Toll", "B2": "charge", "C2": 1, "D2": "", "E2": -5}, "E2", "negative"),
    ],
)
def test_one_slip_of_the_job_is_one_problem(
    tmp_path: Path, sheet: str, cells: dict[str, Any], cell: str, code: str
) -> None:
    _job, problems = read_job_with(tmp_path, good_book(tmp_path), {sheet: cells})
    assert codes([problem for problem in problems if problem.place.cell.endswith("2")]) == [(code, sheet, cell)]


def test_a_fault_elsewhere_hides_nothing(tmp_path: Path) -> None:
    """A limit without Fails when is told beside a bad severity, and a code twice beside a bad rate."""
    cells: dict[str, dict[str, Any]] = {
        "Findings": {"D2": "bad", "G2": ""},
        "Labour rates": {"A4": "MAIN", "C4": "90", "E4": date(2026, 1, 1)},
    }
    _book, problems = read_book(tmp_path, cells)
    assert {code for code, _, _ in codes(problems)} >= {"not-a-word", "text-number", "duplicate-code"}
