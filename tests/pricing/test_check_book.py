"""Warnings about a shop book that read without errors, where the rules of work and price are needed to tell."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing import check_book
from tests import build


def warnings(book: ShopBook) -> list[tuple[str, str]]:
    """Code and message of each; none is an error."""
    found = check_book(book)
    assert all(problem.severity == "warning" and problem.remedy for problem in found)
    return [(problem.code, problem.message) for problem in found]


@pytest.mark.parametrize(
    ("operation", "warned"),
    [
        ({"access": ["FLAP"]}, True),
        ({"access": ["FLAP"], "each_side": True}, False),
        ({"access": ["COVER"]}, False),
        ({}, False),
    ],
)
def test_an_operation_without_a_side_that_opens_each_side(operation: dict[str, Any], warned: bool) -> None:
    """Legal, and seldom meant: the customer pays for both flaps."""
    book = build.a_book(
        access=[build.a_step("FLAP", each_side=True), build.a_step("COVER")],
        operations=[build.an_operation("OIL", **operation)],
    )
    message = "OIL has no side but needs FLAP, which is opened at every position"
    assert warnings(book) == ([("opens-every-position", message)] if warned else [])


@pytest.mark.parametrize(("each_side", "warned"), [(False, True), (True, False)])
def test_a_step_without_a_side_that_needs_a_step_of_each_side(each_side: bool, warned: bool) -> None:
    """The same, one step further in."""
    book = build.a_book(
        access=[build.a_step("FLAP", each_side=True), build.a_step("DECK", needs=["FLAP"], each_side=each_side)],
    )
    assert [code for code, _ in warnings(book)] == (["opens-every-position"] if warned else [])


def a_bundle_book(saving: str, value: int | str, **values: Any) -> ShopBook:
    """Belt and chain bring 1.5 h behind one cover of half an hour, 200.00, and a belt sold at 15.00."""
    return build.a_book(
        **{
            "access": [build.a_step("COVER")],
            "operations": [
                build.an_operation("FIT-BELT", 1, access=["COVER"], parts="BELT"),
                build.an_operation("FIT-CHAIN", access=["COVER"]),
            ],
            "parts": [build.a_part("BELT", 10)],
            "findings": [build.a_finding("FRAYED")],
            "remedies": [build.a_remedy("BELT-JOB", ["FRAYED"], ["FIT-BELT"])],
            "extras": [build.an_extra("CHAIN-JOB", ["FIT-CHAIN"])],
            "bundles": [build.a_bundle("BOTH", ["BELT-JOB", "CHAIN-JOB"], saving, value)],
        }
        | values
    )


@pytest.mark.parametrize(
    ("saving", "value", "brings"),
    [
        ("hours off", 2, None),
        ("hours off", "2.1", "2"),
        ("labour amount off", 200, None),
        ("labour amount off", "200.01", "200"),
        ("parts amount off", 15, None),
        ("parts amount off", 16, "15"),
        ("percent off parts", 1, None),
    ],
)
def test_a_saving_larger_than_what_its_members_bring(saving: str, value: int | str, brings: str | None) -> None:
    """It would be cut off at what they bring, and the owner would wonder why."""
    found = warnings(a_bundle_book(saving, value))
    assert [code for code, _ in found] == ([] if brings is None else ["saving-too-large"])
    if brings is not None:
        assert found[0][1] == f"BOTH saves {value} of {saving}, more than its members bring alone ({brings})"


def test_work_done_always_is_not_what_members_bring() -> None:
    """Washing, an hour on every machine, is there without them."""
    book = a_bundle_book(
        "hours off",
        "2.5",
        operations=[
            build.an_operation("FIT-BELT", 1, access=["COVER"], parts="BELT"),
            build.an_operation("FIT-CHAIN", access=["COVER"]),
            build.an_operation("WASH", 1),
        ],
        machines=[build.a_machine(always=["WASH"])],
    )
    assert [code for code, _ in warnings(book)] == ["saving-too-large"]


def test_the_minimum_brings_nothing_to_a_bundle() -> None:
    """A minimum of nine hours is not labour of the members."""
    book = a_bundle_book("labour amount off", 500, settings=build.settings(minimum_labour_hours=9))
    assert [code for code, _ in warnings(book)] == ["saving-too-large"]


def test_a_sided_member_is_taken_at_one_side() -> None:
    """One bushing of an hour: 100.00, though a job may do two."""
    book = build.a_book(
        operations=[build.an_operation("BUSHING", 1, each_side=True), build.an_operation("WASH", 0)],
        findings=[build.a_finding("WORN")],
        remedies=[build.a_remedy("NEW-BUSH", ["WORN"], ["BUSHING"])],
        extras=[build.an_extra("WASHED", ["WASH"])],
        bundles=[build.a_bundle("BOTH", ["NEW-BUSH", "WASHED"], "labour amount off", 101)],
    )
    assert [message for _, message in warnings(book)] == [
        "BOTH saves 101 of labour amount off, more than its members bring alone (100)"
    ]


def test_a_book_without_anything_to_say() -> None:
    """The smallest book."""
    assert warnings(build.a_book()) == []
