"""The most an extra can add as a tree (rules 5.8): every amount by hand, the way to it, and the cells it stands in.

`tests/pricing/test_at_most.py` holds the amounts themselves; here each line names what went into it.
"""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.explanation import Explanation, nodes
from quotekit.model.shop_book import Operation, ShopBook
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import a_shop, figure, job_of, reads, said

FIT = build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL")
SLOW_FIT = build.an_operation("FIT", "0.5", access=["COVER"], parts="SEAL", slowed_by_rust=True)


def more(hours: str = "0.3", **values: Any) -> Operation:
    """The extra's own operation."""
    return build.an_operation("MORE", hours, **values)


def offering(*work: Operation, **values: Any) -> ShopBook:
    """A tier of half an hour behind a cover with one seal at 15.00, and an extra MORE of the operation MORE."""
    named: dict[str, Any] = {
        "operations": [FIT, *(work or (more(),))],
        "extras": [build.an_extra("MORE", ["MORE"])],
    }
    return a_shop(**(named | values))


def limit(book: ShopBook, **job: Any) -> Explanation:
    """The figure; each of its numbers follows from its inputs."""
    tree = figure("extras.MORE.at_most", book, job_of(book, **{"extras": [build.a_job_extra("MORE")]} | job))
    assert faults([tree]) == []
    return tree


def lines(book: ShopBook, **job: Any) -> dict[str, str]:
    """The figure and all that went into it, a line each."""
    return {node.figure: said(node) for node in nodes(limit(book, **job))}


def amounts(book: ShopBook, **job: Any) -> dict[str, str]:
    """What the limit is the sum of, zeros left out."""
    tree = limit(book, **job)
    assert tree.operation == "sum"
    return {one.figure: str(one.value) for one in tree.inputs if one.number}


def cells(name: str, book: ShopBook, **job: Any) -> list[str]:
    """The cells that one number on the way reads."""
    return next(reads(node) for node in nodes(limit(book, **job)) if node.figure == name)


def test_hours_are_rounded_up_and_billed_at_their_rate() -> None:
    """0.31 h is billed 0.4 h at 100.00: 40.00; supplies 5 % are 2.00."""
    book = offering(more("0.31"), settings=build.settings(supplies_percent_of_labour="0.05"))
    told = lines(book)
    assert told["extras.MORE.at_most"] == "42.00 = sum(its own labour 40.00, its supplies 2.00)"
    assert told["its labour at MAIN"] == (
        "40.00 = product(its hours at MAIN billed 0.4, Rate per hour of MAIN 100), up to cents"
    )
    assert told["its hours at MAIN billed"] == (
        "0.4 = up to a step(its hours at MAIN 0.31, Hours step 0.1), up to a step of 0.1"
    )
    assert told["its hours at MAIN"] == "0.31 = sum(MORE 0.31)"
    assert told["its supplies"] == (
        "2.00 = product(Supplies percent of labour 0.05, its own labour 40.00), up to cents"
    )
    assert cells("MORE", book) == ["MORE: Net hours"]


def test_steps_that_the_tier_opens_are_not_its_own() -> None:
    """The cover is open for the repair; the floor behind it takes 0.4 h more."""
    floor = build.a_step("FLOOR", "0.2", "0.2", needs=["COVER"])
    book = offering(more(access=["FLOOR"]), access=[build.a_step("COVER"), floor])
    assert lines(book)["its hours at MAIN"] == "0.7 = sum(MORE 0.3, Floor (FLOOR) 0.4)"


def test_work_at_two_rates_is_rounded_up_at_each() -> None:
    """0.31 h at 100.00 and 0.22 h at 130.00: 0.4 and 0.3 h, 40.00 and 39.00."""
    book = offering(
        more("0.31"),
        build.an_operation("WELD", "0.22", labour="WELD"),
        labour_rates=[build.a_rate(), build.a_rate("WELD", 130)],
        extras=[build.an_extra("MORE", ["MORE", "WELD"])],
    )
    assert lines(book)["its own labour"] == "79.00 = sum(its labour at MAIN 40.00, its labour at WELD 39.00)"


def rusty(at_most: str | None = None, **values: Any) -> ShopBook:
    """Rust adds a quarter of the hours it slows; `at_most` is the ceiling of a job."""
    return offering(more("0.4", slowed_by_rust=True), conditions=[build.a_condition(at_most_hours=at_most)], **values)


def test_rust_slows_its_own_hours_as_if_it_were_alone() -> None:
    """A quarter of 0.4 h is 0.1 h: 0.5 h, 50.00."""
    told = lines(rusty(), condition="RUSTY")
    assert told["its hours at MAIN"] == "0.5 = sum(MORE 0.4, its allowance 0.1)"
    assert told["its allowance"] == "0.1 = product(Allowance of RUSTY 0.25, its hours slowed by rust 0.4)"
    assert cells("Allowance of RUSTY", rusty(), condition="RUSTY") == ["RUSTY: Allowance"]


def test_its_allowance_ends_at_the_conditions_ceiling() -> None:
    """0.1 h, but at most 0.06 h: 0.46 h, billed 0.5."""
    told = lines(rusty("0.06"), condition="RUSTY")
    assert told["its allowance, at most"] == "0.06 = least(its allowance 0.1, At most hours 0.06)"
    assert told["its hours at MAIN"] == "0.46 = sum(MORE 0.4, its allowance, at most 0.06)"
    assert "At most hours" not in lines(rusty(), condition="RUSTY")


def test_a_ceiling_counts_once_and_is_split_over_the_rates() -> None:
    """Slowed are 0.4 h at MAIN and 0.8 h at WELD; a ceiling of 0.15 h gives a third, 0.05, and two thirds, 0.1."""
    book = offering(
        more("0.4", slowed_by_rust=True),
        build.an_operation("WELD", "0.8", labour="WELD", slowed_by_rust=True),
        labour_rates=[build.a_rate(), build.a_rate("WELD", 130)],
        extras=[build.an_extra("MORE", ["MORE", "WELD"])],
        conditions=[build.a_condition(at_most_hours="0.15")],
    )
    told = lines(book, condition="RUSTY")
    assert told["its hours slowed by rust"] == "1.2 = sum(MORE 0.4, WELD 0.8)"
    assert told["its allowance at MAIN"] == "0.05 = product(its allowance, at most 0.15, share of the rate 1/3)"
    assert told["share of the rate"] == "2/3 = quotient(its hours slowed at WELD 0.8, its hours slowed by rust 1.2)"
    assert told["its hours slowed at MAIN"] == "0.4 = sum(MORE 0.4)"
    assert told["its hours at MAIN"] == "0.45 = sum(MORE 0.4, its allowance at MAIN 0.05)"
    assert told["its hours at WELD"] == "0.9 = sum(WELD 0.8, its allowance at WELD 0.1)"


def test_what_rust_does_not_slow_gets_no_allowance() -> None:
    """The repair is slowed, the extra is not."""
    book = offering(operations=[SLOW_FIT, more("0.4")], conditions=[build.a_condition()])
    assert lines(book, condition="RUSTY")["its hours at MAIN"] == "0.4 = sum(MORE 0.4)"


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        ({"supplies_shown_as": "off"}, "0.00 = decided()"),
        ({"supplies_cap": 1}, "1.00 = least(its supplies 1.50, cap 1.00)"),
        ({"supplies_cap": 2}, "1.50 = least(its supplies 1.50, cap 2.00)"),
        ({"supplies_cap": "1.001"}, "1.01 = least(its supplies 1.50, cap 1.01)"),
    ],
)
def test_supplies_end_at_the_cap_as_if_the_tier_had_none(settings: dict[str, Any], expected: str) -> None:
    """5 % of 30.00 are 1.50; of a cap that is no whole cent the next cent is the most."""
    book = offering(settings=build.settings(supplies_percent_of_labour="0.05", **settings))
    tree = limit(book)
    assert said(tree.inputs[1]) == expected


def test_its_parts_are_those_it_brings() -> None:
    """Two rings at 10 x 1.5 = 15.00 each, and their core of 4.00 each, kept by the customer."""
    book = offering(more(parts="RING x 2"), parts=[build.a_part("SEAL"), build.a_part("RING", core_charge=4)])
    assert amounts(book, old_parts="keep") == {
        "its own labour": "30.00",
        "its RING": "30.00",
        "core of its RING": "8.00",
    }
    assert lines(book, old_parts="keep")["its RING"] == (
        "30.00 = product(parts.RING.unit_price (with MORE) 15.00, RING for it 2), up to cents"
    )
    assert cells("Core charge of RING", book, old_parts="keep") == ["RING: Core charge"]
    assert amounts(book) == {"its own labour": "30.00", "its RING": "30.00"}, "cores go back with the old parts"


def test_a_part_of_a_cent_is_rounded_up() -> None:
    """A third of a metre of hose at 1.00 is 0.333: 0.34."""
    book = offering(more(parts="HOSE x 0.333"), parts=[build.a_part("SEAL"), build.a_part("HOSE", fixed_price_each=1)])
    assert amounts(book)["its HOSE"] == "0.34"


def test_the_same_part_twice_is_one_line() -> None:
    """One ring of each of two operations."""
    book = offering(
        more(parts="RING"),
        build.an_operation("WIPE", "0.2", parts="RING"),
        parts=[build.a_part("SEAL"), build.a_part("RING")],
        extras=[build.an_extra("MORE", ["MORE", "WIPE"])],
    )
    assert amounts(book) == {"its own labour": "50.00", "its RING": "30.00"}


def test_the_customers_own_part_costs_nothing() -> None:
    book = offering(more(parts="RING"), parts=[build.a_part("SEAL"), build.a_part("RING")])
    assert amounts(book, own_parts=("RING",)) == {"its own labour": "30.00"}


def test_work_sent_out_has_its_cost_with_the_markup() -> None:
    """20.00 and a tenth."""
    book = offering(more(sublet_cost=20), settings=build.settings(sublet_markup="0.1"))
    told = lines(book)
    assert told["its work sent out, MORE"] == (
        "22.00 = product(Sublet cost of MORE 20, 1 + sublet markup 1.1), up to cents"
    )
    assert told["1 + sublet markup"] == "1.1 = one plus(Sublet markup 0.1)"
    assert cells("Sublet cost of MORE", book) == ["MORE: Sublet cost"]


@pytest.mark.parametrize(
    ("applies_to", "expected"),
    [(["MORE"], {"its fee WASTE": "4.01"}), (["MORE", "FIT"], {}), (["OTHER"], {})],
    ids=["its own", "charged already", "of other work"],
)
def test_a_fee_is_its_own_where_the_tier_has_none(applies_to: list[str], expected: dict[str, str]) -> None:
    """4.005 is 4.01, rounded up."""
    book = offering(more(), build.an_operation("OTHER"), fees=[build.a_fee("WASTE", "4.005", applies_to=applies_to)])
    assert amounts(book) == {"its own labour": "30.00", **expected}
    if expected:
        assert cells("Amount of WASTE", book) == ["WASTE: Amount", "WASTE: Applies to"]


def freight(**values: Any) -> ShopBook:
    """The seal comes from NORTH, freight 9.00; the extra's ring, bought in packs of 4, from SOUTH at 5.001."""
    ring = build.a_part(
        "RING", 40, 4, supplier=values.pop("supplier", "SOUTH"), extra_freight=values.pop("extra", None)
    )
    return offering(
        more(parts="RING x 5"),
        parts=[build.a_part("SEAL"), ring],
        suppliers=[
            build.a_supplier(freight=9),
            build.a_supplier("SOUTH", freight="5.001"),
            build.a_supplier("SHELF", shelf=True),
        ],
        settings=build.settings(**{"freight_to_customer": "this job alone"} | values),
    )


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ({}, {"its freight from SOUTH": "5.01"}),
        ({"supplier": "NORTH"}, {}),
        ({"supplier": "SHELF"}, {}),
        ({"freight_to_customer": "none"}, {}),
        ({"extra": 2}, {"its freight from SOUTH": "5.01", "extra freight of its RING": "4.00"}),
        ({"supplier": "NORTH", "extra": 2}, {"extra freight of its RING": "4.00"}),
        ({"supplier": "SHELF", "extra": 2}, {}),
        ({"freight_to_customer": "none", "extra": 2}, {}),
    ],
)
def test_freight_of_a_supplier_the_tier_orders_nothing_from(values: dict[str, Any], expected: dict[str, str]) -> None:
    """Five rings are two packs. Each ring is 15.00, so 75.00 of rings."""
    assert amounts(freight(**values)) == {"its own labour": "30.00", "its RING": "75.00", **expected}


def test_freight_says_how_many_packs() -> None:
    told = lines(freight(extra=2))
    assert told["extra freight of its RING"] == "4.00 = product(packs of RING 2, Extra freight of RING 2), up to cents"
    assert told["packs of RING"] == "2 = quotient(RING for it 5, Pack quantity 4), up to whole packs"
    assert told["its freight from SOUTH"] == "5.01 = same(Freight of SOUTH 5.001), up to cents"
    assert cells("Freight of SOUTH", freight()) == ["SOUTH: Freight"]


def test_two_parts_of_one_supplier_travel_together() -> None:
    """Flat freight is paid once."""
    book = offering(
        more(parts="RING; BELT"),
        parts=[build.a_part("SEAL"), *(build.a_part(code, supplier="SOUTH") for code in ("RING", "BELT"))],
        suppliers=[build.a_supplier(), build.a_supplier("SOUTH", freight=5)],
        settings=build.settings(freight_to_customer="this job alone"),
    )
    assert amounts(book) == {
        "its own labour": "30.00", "its BELT": "15.00", "its RING": "15.00", "its freight from SOUTH": "5.00",
    }  # fmt: skip


def test_an_extra_that_the_tiers_work_does_brings_nothing() -> None:
    """FIT includes all of MORE: neither its hours nor its own ring."""
    book = offering(
        operations=[build.an_operation("FIT", "0.5", parts="SEAL", includes=["MORE"]), more()],
        parts=[build.a_part("SEAL"), build.a_part("RING")],
        findings=[build.a_finding("WORN"), build.a_finding("DIRTY", "advised")],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("MORE", ["DIRTY"], ["MORE"], parts="RING"),
        ],
        extras=[],
    )
    tree = limit(book, extras=[])
    assert (tree.value, [one.figure for one in tree.inputs]) == ("0.00", ["its own labour", "its supplies"])
