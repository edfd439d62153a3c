"""Upgrade labour taken out of the labour lines, as trees: each line in proportion, to the cent (rules 5.9, Taxes).

Lines of labour of 60.00 and 30.00, a part of 15.00, and 9.00 saved on labour; a case says how much labour is upgrades.
"""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from quotekit.model.explanation import Explanation
from quotekit.model.shop_book import Tax
from quotekit.pricing.explain.told import Told
from quotekit.pricing.explain.upgrade import Line, split_lines
from quotekit.pricing.setup import set_up
from quotekit.pricing.taxes import ChargeLine, split_upgrade
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import a_shop, job_of, said

APART = [build.a_tax("VAT", "0.1", ["labour"]), build.a_tax("VAT", "0.2", ["upgrade labour"])]
BENCH, WELD, PART, SAVED = (
    ChargeLine("labour", D("60.00"), of_labour=True),
    ChargeLine("labour", D("30.00"), of_labour=True),
    ChargeLine("parts", D("15.00")),
    ChargeLine("labour", D("-9.00"), of_labour=True),
)
NAMES = {BENCH: "bench", WELD: "weld", PART: "part", SAVED: "saved"}
ALL = (BENCH, PART, WELD, SAVED)


def split(upgrade: str, lines: tuple[ChargeLine, ...] = ALL, rows: list[Tax] = APART) -> list[Line]:
    """The pieces of a split with their trees, each of which follows from its inputs."""
    setup = set_up(book := a_shop(), job_of(book))
    told = Told(setup=setup, charges=setup.priced([]))
    nodes = [(line, told.money.node(NAMES[line], line.amount, "given", (), "A line.")) for line in lines]
    found = split_lines(told, nodes, rows, told.money.node("of upgrades", D(upgrade), "given", (), "Their shares."))
    assert [line for line, _ in found] == list(split_upgrade(lines, D(upgrade), rows, 2)), "the engine's own pieces"
    assert [node.number for _, node in found] == [line.amount for line, _ in found]
    assert faults([node for _, node in found]) == []
    return found


def amounts(found: list[Line]) -> list[tuple[str, str]]:
    """What each piece is called and comes to."""
    return [(node.figure, str(node.value)) for _, node in found]


def tree(found: list[Line], figure: str) -> Explanation:
    return next(node for _, node in found if node.figure == figure)


def test_half_of_the_labour_is_half_of_each_line() -> None:
    """45.00 of 90.00; a part is no labour and stays whole."""
    found = split("45")
    assert amounts(found) == [
        ("bench, no upgrade", "30.00"),
        ("bench, upgrade labour", "30.00"),
        ("part", "15.00"),
        ("weld, no upgrade", "15.00"),
        ("weld, upgrade labour", "15.00"),
        ("saved, no upgrade", "-4.50"),
        ("saved, upgrade labour", "-4.50"),
    ]
    assert [line.charge for line, _ in found] == [
        "labour", "upgrade labour", "parts", "labour", "upgrade labour", "labour", "upgrade labour",
    ]  # fmt: skip


def test_the_cent_goes_to_the_largest_remainder() -> None:
    """10.00 of 90.00: 6.666 and 3.333; the cent that is left over goes to the first. Of 9.00 saved 1.00."""
    found = split("10")
    assert amounts(found)[0:2] == [("bench, no upgrade", "53.33"), ("bench, upgrade labour", "6.67")]
    assert amounts(found)[3:] == [
        ("weld, no upgrade", "26.67"),
        ("weld, upgrade labour", "3.33"),
        ("saved, no upgrade", "-8.00"),
        ("saved, upgrade labour", "-1.00"),
    ]


def test_a_piece_says_of_what_it_is_the_proportion() -> None:
    found = split("10")
    assert said(tree(found, "bench, upgrade labour")) == (
        "6.67 = share(upgrade labour 10.00, bench 60.00, labour lines 90.00, of what rounding leaves 0.01)"
    )
    assert said(tree(found, "saved, upgrade labour")) == (
        "-1.00 = share(saved -9.00, upgrade labour 10.00, labour lines 90.00, of what rounding leaves 0.00)"
    )
    assert said(tree(found, "weld, no upgrade")) == "26.67 = difference(weld 30.00, weld, upgrade labour 3.33)"
    rules = [tree(found, f"{name}, upgrade labour").rule for name in ("bench", "saved")]
    assert rules[0].startswith("Upgrade labour over the labour lines")
    assert rules[1].startswith("A saving on labour in the proportion of upgrade labour")


def test_there_is_no_more_upgrade_labour_than_labour() -> None:
    """120.00 of 90.00: all of it; the lines that are left come to nothing."""
    found = split("120")
    assert amounts(found)[0:2] == [("bench, no upgrade", "0.00"), ("bench, upgrade labour", "60.00")]
    at_most, whole = tree(found, "bench, upgrade labour").inputs[0::2]
    assert said(at_most) == "90.00 = least(of upgrades 120.00, labour lines 90.00)"
    assert said(whole) == "90.00 = sum(bench 60.00, weld 30.00)"


def test_without_upgrades_every_line_is_there_whole() -> None:
    """Nothing of it is upgrade labour, and that is said of each line."""
    assert amounts(split("0", (BENCH,))) == [("bench, no upgrade", "60.00"), ("bench, upgrade labour", "0.00")]


@pytest.mark.parametrize(
    ("lines", "rows"),
    [(ALL, [build.a_tax("VAT", "0.1", ["labour"])]), ((PART,), APART)],
    ids=["no row treats them apart", "no labour"],
)
def test_what_is_not_split_keeps_its_own_trees(lines: tuple[ChargeLine, ...], rows: list[Tax]) -> None:
    assert amounts(split("45", lines, rows)) == [(NAMES[line], f"{line.amount}") for line in lines]
