"""SHARED_HOURS: each step once, sides, required and included work, rust, rates; and what has no hours."""

from __future__ import annotations

from decimal import Decimal

import pytest

from quotekit.pricing.functions.asked import Given
from tests import build
from tests.pricing.functions.ask import ask, figure

BOOK = build.a_book(
    settings=build.settings(minimum_labour_hours=2),
    labour_rates=[build.a_rate("MAIN"), build.a_rate("WELD", 120)],
    conditions=[build.a_condition("RUSTY", "0.5", at_most_hours="0.3")],
    machines=[build.a_machine(always=["SAFE"])],
    access=[
        build.a_step("COVER", "0.2", "0.2"),
        build.a_step("WHEEL", "0.1", "0.1", each_side=True, needs=["COVER"]),
    ],
    operations=[
        build.an_operation("SAFE", "0.7"),
        build.an_operation("BELT", "0.5", access=["COVER"]),
        build.an_operation("SEAL", "0.35", access=["COVER"], slowed_by_rust=True),
        build.an_operation("BUSHING", "0.6", second_side_hours="0.45", each_side=True, access=["WHEEL"]),
        build.an_operation("GEARBOX", "2", includes=["SEAL"], requires=["OIL"], access=["COVER"]),
        build.an_operation("OIL", "0.25"),
        build.an_operation("WELD-UP", "0.31", labour="WELD"),
        build.an_operation("AXLE", "0.1", requires=["BUSHING"]),
        build.an_operation("TIDY", "0.1", access=["WHEEL"]),
    ],
)


@pytest.mark.parametrize(
    ("operations", "side", "condition", "expected"),
    [
        ("BELT", None, None, "0.9"),
        ("SEAL", None, None, "0.8"),
        ("BELT; SEAL", None, None, "1.3"),
        ("belt;; seal ;", None, None, "1.3"),
        ("BELT; BELT", None, None, "0.9"),
        ("SEAL", None, "rusty", "1.0"),
        ("GEARBOX; SEAL", None, None, "2.7"),
        ("BUSHING@left", None, None, "1.2"),
        ("BUSHING", "left", None, "1.2"),
        ("BUSHING@right; BUSHING@left", None, None, "1.9"),
        ("BUSHING@both", "left", None, "1.9"),
        ("BUSHING; BELT", "both", None, "2.4"),
        ("BELT; WELD-UP", None, None, "1.3"),
        ("AXLE@left", None, None, "1.3"),
        ("TIDY", None, None, "0.9"),
        ("SAFE", None, None, "0.7"),
    ],
)
def test_hours(operations: str, side: str | None, condition: str | None, expected: str) -> None:
    """Without Always work and minimum; one rounding a rate; an included operation is done by the larger one."""
    assert figure(BOOK, "SHARED_HOURS", operations, side, None, condition) == expected


def test_a_range_of_cells() -> None:
    """Blank cells of a range are left out, and a cell may hold a list."""
    rows: Given = (("BELT", None), ("", "SEAL; OIL"))
    assert figure(BOOK, "SHARED_HOURS", rows) == figure(BOOK, "SHARED_HOURS", "BELT; SEAL; OIL") == "1.5"


def test_codes_typed_as_numbers() -> None:
    book = build.a_book(operations=[build.an_operation("1010", "0.5"), build.an_operation("A@B", "0.25")])
    assert figure(book, "SHARED_HOURS", ((Decimal(1010),),)) == "0.5"
    assert figure(book, "SHARED_HOURS", "A@B") == "0.3"


@pytest.mark.parametrize(
    ("arguments", "expected"),
    [
        ((None,), "No operation is named. Give a cell or a range with codes of Operations."),
        ((((None, ""),),), "No operation is named. Give a cell or a range with codes of Operations."),
        (("BELTS",), "BELTS is not a code of Operations. Did you mean BELT?"),
        (("ZZZ",), "ZZZ is not a code of Operations. Use one of Operations."),
        (("BUSHING",), "BUSHING is done each side, and no side is given. Write BUSHING@left, or give the side."),
        (("AXLE",), "AXLE is done each side, and no side is given. Write AXLE@left, or give the side."),
        (("BELT@left",), "BELT is done once, not each side. Write BELT without a side."),
        (("BUSHING@lefft",), "lefft is not a side of this machine: it has left; right. Did you mean left?"),
        (("BUSHING", "top"), "top is not a side of this machine: it has left; right. Use a position, or all."),
        (("BELT", None, "TRAILOR"), "TRAILOR is not a machine class of the shop book. Use one of THROWER."),
        (("BELT", None, "Throwr"), "Throwr is not a machine class of the shop book. Did you mean Thrower?"),
        (("BELT", None, None, "RUSTED"), "RUSTED is not a code of Conditions. Did you mean RUSTY?"),
        ((True,), "What is given as operations is yes or no. Text is wanted here."),
    ],
)
def test_no_hours(arguments: tuple[Given, ...], expected: str) -> None:
    assert figure(BOOK, "SHARED_HOURS", *arguments) == expected


def test_the_class_matters_only_where_sides_do() -> None:
    """With several classes an operation done once needs none; `all` is four positions on a trailer."""
    wheels = ("left front", "left rear", "right front", "right rear")
    machines = [build.a_machine(), build.a_machine("TRAILER", positions=wheels)]
    book = build.a_book(machines=machines, access=list(BOOK.access.values()), operations=list(BOOK.operations.values()))
    assert figure(book, "SHARED_HOURS", "BELT") == "0.9"
    assert figure(book, "SHARED_HOURS", "TIDY").startswith("The machine class matters here and is left out. Name one:")
    assert figure(book, "SHARED_HOURS", "TIDY", None, "THROWER") == "0.9"
    assert figure(book, "SHARED_HOURS", "TIDY", None, "Trailer") == "1.3"
    assert figure(book, "SHARED_HOURS", "BUSHING@left", None, "trailer") == "1.9"


def test_without_a_machines_sheet_any_class_will_do() -> None:
    book = build.a_book(machines=None, operations=[build.an_operation("B", "0.6", each_side=True)])
    assert figure(book, "SHARED_HOURS", "B", "both", "anything") == "1.2"


def test_sharing_never_costs_more() -> None:
    """A set takes no longer than its operations one by one."""
    codes = ["BELT", "SEAL", "OIL", "WELD-UP", "SAFE", "TIDY"]
    apart = [ask(BOOK, "SHARED_HOURS", code) for code in codes]
    assert ask(BOOK, "SHARED_HOURS", "; ".join(codes)) <= sum(apart)
