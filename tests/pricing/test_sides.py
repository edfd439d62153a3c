"""Which positions a side word stands for, and what work has a side (DESIGN.md 3 and 5.9)."""

from __future__ import annotations

import pytest

from quotekit.pricing.sides import counts_on, is_sided, required_codes
from tests import build


@pytest.mark.parametrize(
    ("word", "position", "counts"),
    [
        ("left", "left", True),
        ("left", "right", False),
        ("left", "left front", True),
        ("left", "Left Rear", True),
        ("left front", "left rear", False),
        ("left front", "left", False),
        ("left 1", "left 10", False),
        ("both", "right", True),
        ("all", "rear", True),
        ("rear", "rear", True),
        ("rear", "left rear", False),
    ],
)
def test_a_word_counts_on_every_position_it_begins(word: str, position: str, counts: bool) -> None:
    assert counts_on((word,), position) is counts


def test_any_word_of_the_list_is_enough() -> None:
    assert counts_on(("front", "rear"), "rear")
    assert not counts_on(("front", "middle"), "rear")
    assert not counts_on((), "rear")


BOOK = build.a_book(
    operations=[
        build.an_operation("BUSH", each_side=True),
        build.an_operation("AXLE", requires=["BUSH"]),
        build.an_operation("REBUILD", requires=["AXLE"]),
        build.an_operation("BELT"),
    ]
)


@pytest.mark.parametrize(
    ("operations", "sided"),
    [(["BUSH"], True), (["AXLE"], True), (["REBUILD"], True), (["BELT"], False), (["BELT", "BUSH"], True), ([], False)],
)
def test_work_is_sided_when_any_of_it_or_what_it_requires_is_done_each_side(operations: list[str], sided: bool) -> None:
    assert is_sided(BOOK, operations) is sided


def test_requirements_are_followed_to_the_end() -> None:
    assert required_codes(BOOK, ["REBUILD"]) == ("REBUILD", "AXLE", "BUSH")


def test_two_that_require_each_other_end() -> None:
    """A reader refuses the cycle; the rule itself must not run for ever on it."""
    book = build.a_book(
        operations=[build.an_operation("A", requires=["B"]), build.an_operation("B", requires=["A"], each_side=True)]
    )
    assert required_codes(book, ["A"]) == ("A", "B")
    assert is_sided(book, ["A"])
