"""Checks of a shop book that need the rules of work and price (DESIGN.md 5.9)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from quotekit.model.shop_book import Bundle, ShopBook
from quotekit.model.source import Source
from quotekit.pricing import check_book
from tests import build


def at(sheet: str, **columns: str) -> Source:
    return Source(file="book.xlsx", sheet=sheet, row=3, columns=columns)


def shop(*bundles: Bundle, **values: Any) -> ShopBook:
    """NEW-BUSH: 1 hour behind a cover of 0.5 and a part of 15; SPARE: 0.4 hours behind the same cover."""
    named: dict[str, Any] = {
        "access": [build.a_step("COVER")],
        "operations": [
            build.an_operation("BUSH", 1, access=["COVER"], parts="BUSH", each_side=True),
            build.an_operation("BELT", "0.4", access=["COVER"]),
            build.an_operation("TEST", 9),
        ],
        "parts": [build.a_part("BUSH")],
        "machines": [build.a_machine(always=["TEST"])],
        "remedies": [build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"])],
        "extras": [build.an_extra("SPARE", ["BELT"])],
        "bundles": list(bundles),
    }
    return build.a_book(**(named | values))


def pair(saving: Any, value: Any) -> Bundle:
    return build.a_bundle("PAIR", ["NEW-BUSH", "SPARE"], saving, value, source=at("Bundles", Value="E"))


@pytest.mark.parametrize(
    ("saving", "value", "warned"),
    [
        ("hours off", "1.9", False),
        ("hours off", "1.91", True),
        ("labour amount off", 190, False),
        ("labour amount off", "190.01", True),
        ("parts amount off", 15, False),
        ("parts amount off", "15.01", True),
        ("percent off parts", 1, False),
    ],
)
def test_a_saving_that_is_more_than_its_members_bring_alone(saving: Any, value: Any, warned: bool) -> None:
    """1.9 hours, 190 of labour, 15 of parts; Always work is not theirs."""
    found = check_book(shop(pair(saving, value)))
    assert [(one.code, one.severity, str(one.place)) for one in found] == (
        [("saving-too-large", "warning", "book.xlsx:Bundles!E3")] if warned else []
    )


def test_at_the_latest_rates() -> None:
    """From 2027 an hour costs 200: 380 of labour."""
    rates = [build.a_rate(), build.a_rate(rate=200, in_force_from=date(2027, 1, 1))]
    assert check_book(shop(pair("labour amount off", 380), labour_rates=rates)) == []


@pytest.mark.parametrize(
    ("access", "operations", "place"),
    [
        (
            [build.a_step("HUB", each_side=True)],
            [build.an_operation("FIT", access=["HUB"], source=at("Operations", Access="J"))],
            "Operations!J3",
        ),
        (
            [build.a_step("HUB", each_side=True), build.a_step("AXLE", needs=["HUB"], source=at("Access", Needs="E"))],
            [],
            "Access!E3",
        ),
    ],
)
def test_work_without_a_side_that_opens_every_position(access: Any, operations: Any, place: str) -> None:
    found = check_book(build.a_book(access=access, operations=operations))
    assert [(one.code, one.severity, str(one.place)) for one in found] == [
        ("opens-every-position", "warning", f"book.xlsx:{place}")
    ]


def test_sided_work_on_sided_steps_is_fine() -> None:
    access = [build.a_step("HUB", each_side=True)]
    assert (
        check_book(build.a_book(access=access, operations=[build.an_operation("FIT", access=["HUB"], each_side=True)]))
        == []
    )


@pytest.mark.parametrize("machines", [None, [], [build.a_machine()]])
def test_a_book_without_machines_can_be_checked(machines: Any) -> None:
    assert check_book(shop(pair("hours off", 1), machines=machines)) == []
