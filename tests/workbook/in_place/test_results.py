"""Whether another program's result is believed: only where it gave the old one too."""

from __future__ import annotations

import pytest

from quotekit.workbook.in_place.contents import NOTHING, CellKind, Content
from quotekit.workbook.in_place.results import new_result


def one(kind: CellKind, text: str) -> Content:
    """A content."""
    return Content(kind=kind, text=text)


def number(text: str) -> Content:
    """A number."""
    return one("number", text)


LEFT = None


@pytest.mark.parametrize(
    ("stored", "before", "after", "expected"),
    [
        (number("2"), number("2"), number("5"), number("5")),
        (number("2"), number("2.0000000000000004"), number("5"), number("5")),
        (number("2"), number("2"), number("2"), LEFT),
        (number("19.989999999999998"), number("19.99"), number("19.99"), LEFT),
        (number("2"), number("2"), number("2E+020"), number("200000000000000000000")),
        (number("2"), number("2"), number("2E-020"), number("2E-20")),
        (number("2"), number("3"), number("5"), NOTHING),
        (number("2"), NOTHING, number("5"), NOTHING),
        (number("2"), number("2"), NOTHING, NOTHING),
        (number("2"), number("2"), one("text", "x"), one("text", "x")),
        (one("text", "a"), one("text", "a"), one("text", ""), one("text", "")),
        (one("text", "a"), one("text", "b"), one("text", "c"), NOTHING),
        (one("boolean", "1"), number("1"), number("0"), one("boolean", "0")),
        (one("boolean", "1"), one("boolean", "1"), number("7"), number("7")),
        (number("1"), one("boolean", "1"), one("boolean", "0"), number("0")),
        (number("2"), number("2"), one("error", "#DIV/0!"), one("error", "#DIV/0!")),
        (number("2"), number("2"), one("error", "#NAME?"), NOTHING),
        (one("error", "#NAME?"), one("error", "#NAME?"), one("error", "#NAME?"), LEFT),
        (one("error", "#DIV/0!"), one("error", "#DIV/0!"), number("3"), number("3")),
        (one("error", "#N/A"), one("error", "#N/A"), one("error", "#DIV/0!"), one("error", "#DIV/0!")),
        (NOTHING, number("2"), number("5"), number("5")),
        (NOTHING, NOTHING, one("text", "x"), one("text", "x")),
        (NOTHING, number("2"), one("error", "#NAME?"), NOTHING),
        (NOTHING, number("2"), one("error", "#VALUE!"), NOTHING),
        (number("0"), number("1E-13"), number("0"), LEFT),
        (number("x"), number("x"), number("2"), number("2")),
        (number("2"), number("2"), one("day", "2026-01-01"), NOTHING),
        (number("2"), number("2"), number("x"), NOTHING),
    ],
)
def test_new_results(stored: Content, before: Content, after: Content, expected: Content | None) -> None:
    assert new_result(stored, before, after, clock=False) == expected


def test_a_result_that_changes_by_itself() -> None:
    """Yesterday's stored day is another one today, before the change and after it."""
    assert new_result(number("46354"), number("46355"), number("46356"), clock=True) == number("46356")
    assert new_result(number("46354"), number("46355"), number("46354"), clock=True) is None
