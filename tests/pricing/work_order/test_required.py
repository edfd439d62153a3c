"""What is done before what, and what is first or last for it; then whole work orders by a second reading."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.shop_book import Operation
from tests import build
from tests.pricing.work_order.many import differences
from tests.pricing.work_order.test_build_work_order import OPERATIONS, a_book, lines, ordered

COVER = {"access": ["COVER"]}


def order_of(*operations: Operation, always: tuple[str, ...] = (), sides: tuple[str, ...] = ()) -> list[str]:
    """Operations in the order of the work order of a job whose one repair brings those named MAIN and OTHER."""
    codes = [one.code for one in operations if one.code in ("MAIN", "OTHER")]
    book = a_book(
        operations=[*OPERATIONS, *operations],
        machines=[build.a_machine(always=list(always))],
        remedies=[build.a_remedy("REPAIR", ["CRACKED"], codes)],
    )
    found = [build.found(book, "CRACKED", side) for side in sides or (None,)]
    return [step.key for step in ordered(book, build.a_job(*found)).steps if step.kind not in ("open", "close")]


def op(code: str, **values: Any) -> Operation:
    return build.an_operation(code, "0.1", **values)


def test_work_without_a_side_waits_for_every_side() -> None:
    """The shaft is run in once both bearings are in, though its own cover is off from the start."""
    operations = [op("MAIN", requires=["BEARING"]), op("BEARING", each_side=True, access=["FLANGE"])]
    assert order_of(*operations, sides=("left", "right")) == ["BEARING@left", "BEARING@right", "MAIN"]


def test_work_of_a_side_waits_for_its_side_alone() -> None:
    operations = [
        op("MAIN", each_side=True, requires=["BEARING"]),
        op("BEARING", each_side=True, access=["FLANGE"]),
    ]
    assert order_of(*operations, sides=("left", "right")) == [
        "BEARING@left",
        "MAIN@left",
        "BEARING@right",
        "MAIN@right",
    ]


@pytest.mark.parametrize("more", [[], [op("LARGEST", includes=["OTHER"], requires=[], access=["COVER"])]])
def test_larger_work_stands_for_what_it_includes(more: list[Operation]) -> None:
    """FLUSH is done as part of OTHER, which must come before what requires FLUSH, though it lies behind a cover."""
    operations = [op("MAIN", requires=["FLUSH"]), op("FLUSH"), op("OTHER", includes=["FLUSH"], **COVER), *more]
    assert order_of(*operations) == ["OTHER", "MAIN"]


def test_larger_work_that_stands_in_even_larger_work() -> None:
    operations = [
        op("MAIN", requires=["FLUSH", "LARGE"]),
        op("FLUSH"),
        op("LARGE", includes=["FLUSH"]),
        op("OTHER", includes=["LARGE"], access=["COVER"]),
    ]
    assert order_of(*operations) == ["OTHER", "MAIN"]


@pytest.mark.parametrize(
    ("operations", "always", "expected"),
    [
        ([op("MAIN"), op("SAFE", requires=["DRAIN"]), op("DRAIN")], ["SAFE"], ["DRAIN", "SAFE", "MAIN"]),
        ([op("MAIN"), op("SAFE", requires=["DRAIN"]), op("DRAIN", **COVER)], ["SAFE"], ["MAIN", "DRAIN", "SAFE"]),
        (
            [op("MAIN"), op("SAFE", requires=["DRAIN"]), op("DRAIN", requires=["RELIEVE"]), op("RELIEVE", **COVER)],
            ["SAFE"],
            ["MAIN", "RELIEVE", "DRAIN", "SAFE"],
        ),
        ([op("MAIN", requires=["TEST"]), op("TEST")], [], ["TEST", "MAIN"]),
        ([op("MAIN", requires=["TEST"]), op("TEST"), op("CHECK")], ["CHECK"], ["TEST", "MAIN", "CHECK"]),
        ([op("MAIN"), op("RUN", requires=["TEST"]), op("TEST")], ["RUN"], ["MAIN", "TEST", "RUN"]),
        ([op("MAIN"), op("TEST", requires=["RUN"]), op("RUN")], ["RUN", "TEST"], ["MAIN", "RUN", "TEST"]),
        (
            [op("MAIN"), op("LOCK-A", requires=["LOCK-B"]), op("LOCK-B")],
            ["LOCK-A", "LOCK-B"],
            ["LOCK-B", "LOCK-A", "MAIN"],
        ),
    ],
)
def test_first_and_last_keep_to_what_is_required(
    operations: list[Operation], always: list[str], expected: list[str]
) -> None:
    """A test that other work waits for is not left to the end, and what making safe needs is not left until later."""
    first = [one for one in operations if one.code not in ("SAFE", "TEST", "RUN", "CHECK")]
    replaced = {one.code for one in operations}
    book = a_book(
        operations=[*(one for one in OPERATIONS if one.code not in replaced), *operations],
        machines=[build.a_machine(always=always)],
        remedies=[build.a_remedy("REPAIR", ["CRACKED"], [first[0].code])],
    )
    order = ordered(book, build.a_job(build.found(book, "CRACKED")))
    assert [step.key for step in order.steps if step.kind not in ("open", "close")] == expected


def test_a_circle_through_larger_work_is_broken_within_it() -> None:
    """MAIN requires FLUSH, done by OTHER, which requires MAIN: no order is right, both are done."""
    operations = [
        op("MAIN", requires=["FLUSH"], **COVER),
        op("FLUSH"),
        op("OTHER", includes=["FLUSH"], requires=["MAIN"], **COVER),
    ]
    assert sorted(order_of(*operations)) == ["MAIN", "OTHER"]


@pytest.mark.parametrize("seed", [10, 46, 57, 202, 3001])
def test_a_second_reading_finds_nothing(seed: int) -> None:
    """Access of several levels, sides, requirements, always work, kits; the first four went wrong once."""
    assert list(differences(seed)) == []


def test_the_second_reading_would_find_it() -> None:
    """A check that can't fail is none: the work order of one shop is held against a book of other rules."""
    from dataclasses import replace

    from quotekit.pricing.work_order import build_work_order
    from tests.pricing.work_order.recount import Recount
    from tests.pricing.work_order.test_build_work_order import agreed, both_sides

    book = a_book()
    job = both_sides(book)
    what = agreed(book, job)
    order = build_work_order(book, job, what)
    assert Recount(book, job, what, order).differences() == []
    assert "first SAFE 0.1" in lines(order)
    backwards = replace(order, steps=tuple(reversed(order.steps)))
    assert len(Recount(book, job, what, backwards).differences()) > 5
    shorter = replace(order, parts=(replace(order.parts[0], quantity=order.parts[0].quantity + 1), *order.parts[1:]))
    assert any("parts to hand" in one for one in Recount(book, job, what, shorter).differences())
