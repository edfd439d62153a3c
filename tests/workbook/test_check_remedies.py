"""Tiers of one name: the customer answers with a name, so the shop is told which two share it."""

from __future__ import annotations

import pytest

from quotekit.model.shop_book import Tier
from quotekit.model.source import Source
from quotekit.workbook.check_remedies import check_tiers


def tiers(*names: str) -> list[Tier]:
    """Tiers of these names from row 2 on, with codes A, B, C."""
    return [
        Tier(
            code=code,
            tier=name,
            covers=frozenset({"safety"}),
            aim="lowest price",
            source=Source(file="prices.xlsx", sheet="Tiers", row=row, columns={"Code": "A", "Tier": "B"}),
        )
        for row, (code, name) in enumerate(zip("ABC", names, strict=False), start=2)
    ]


@pytest.mark.parametrize(
    ("names", "cells"),
    [
        (("Put right", "Put right"), ["B3"]),
        (("Put right", " put  RIGHT"), ["B3"]),
        (("Put right", "Made to last", "Put right"), ["B4"]),
        (("Put right", "Put right", "Put right"), ["B3", "B4"]),
        (("Put right", "Put right and prevent", "Made to last"), []),
        ((), []),
    ],
)
def test_the_later_of_two_tiers_of_one_name_is_told(names: tuple[str, ...], cells: list[str]) -> None:
    """A name within another is a name of its own."""
    found = check_tiers(tiers(*names))
    assert [(each.code, each.severity, each.place.cell) for each in found] == [
        ("tier-name-twice", "warning", cell) for cell in cells
    ]


def test_both_codes_are_named() -> None:
    """The codes still tell them apart; a name typed twice is no error."""
    (problem,) = check_tiers(tiers("Put right", "Made to last", "Put right"))
    assert problem.message == "the tiers A and C have one name, so the name does not tell which is meant"
    assert (problem.text, problem.remedy) == ("Put right", "Give each a name of its own.")
