"""A job is closed: hours of sheet and clock together, parts as written or as agreed, everything wrong with its cell."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from quotekit.model.entries import Clocked, Closed
from quotekit.model.filled_work_order import FilledWorkOrder, TypedHours, TypedMark, TypedQuantity
from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote
from quotekit.pricing.actual.close_work import JobToClose, close_work, nothing_written
from quotekit.pricing.agreed import agreed_of
from quotekit.problems import Place, Problem
from tests import build
from tests.pricing.work_order.test_build_work_order import a_book, both_sides

SHEET = Place("wo.xlsx", "Work order")


def cell(at: str) -> Place:
    return SHEET._replace(cell=at)


def to_close(book: ShopBook, job: Job) -> JobToClose:
    agreed = agreed_of(book, job, build_quote(book, job).tiers[0])
    return JobToClose(book=book, job=job, agreed=agreed, version=2, agreement=7)


@pytest.fixture(scope="module")
def job_to_close() -> JobToClose:
    """Bushings on both sides and a belt: 2 bushings, 6 nuts, 1 belt, whose core is charged: the old one is kept."""
    parts = [
        build.a_part("BUSHING"),
        build.a_part("NUT", 4, 3),
        build.a_part("V-BELT", core_charge=5),
        build.a_part("SPARE", 10, 3),
    ]
    book = a_book(parts=parts)
    return to_close(book, both_sides(book, old_parts="keep"))


def a_sheet(**changes: Any) -> FilledWorkOrder:
    given: dict[str, Any] = {"place": SHEET, "job_number": "J-1", "version": Decimal(2), "agreement": Decimal(7)}
    return FilledWorkOrder(**given | changes)


def hours(*typed: tuple[str, str, str]) -> tuple[TypedHours, ...]:
    return tuple(
        TypedHours(work=work, person=person, hours=Decimal(many), place=cell(f"H{row}"))
        for row, (work, person, many) in enumerate(typed, start=1)
    )


def units(*typed: tuple[str, str]) -> tuple[TypedQuantity, ...]:
    return tuple(
        TypedQuantity(code=code, quantity=Decimal(many), place=cell(f"P{row}"))
        for row, (code, many) in enumerate(typed, start=1)
    )


def marks(*codes: str) -> tuple[TypedMark, ...]:
    return tuple(TypedMark(code=code, place=cell(f"G{row}")) for row, code in enumerate(codes, start=1))


def clocked(work: str, person: str, many: str) -> Clocked:
    return Clocked(work=work, person=person, hours=Decimal(many))


def closed(work: JobToClose, clock: tuple[Clocked, ...] = (), **sheet: Any) -> Closed:
    body, problems = close_work(work, a_sheet(**sheet), clock)
    assert body is not None, problems
    return body


def refused(work: JobToClose, clock: tuple[Clocked, ...] = (), **sheet: Any) -> list[Problem]:
    body, problems = close_work(work, a_sheet(**sheet), clock)
    assert body is None
    return [one for one in problems if one.severity == "error"]


def warned(work: JobToClose, clock: tuple[Clocked, ...] = (), **sheet: Any) -> list[str]:
    body, problems = close_work(work, a_sheet(**sheet), clock)
    assert body is not None
    return [f"{one.place.cell} {one.code}".strip() for one in problems]


def measured(body: Closed) -> dict[tuple[str, str], str]:
    return {(one.work, one.person): f"{one.hours:f}" for one in body.hours if one.measured}


def quantities(body: Closed) -> dict[str, str]:
    return {one.part: f"{one.quantity:f}" for one in body.parts}


def test_hours_beside_a_step_are_of_that_step(job_to_close: JobToClose) -> None:
    """The two lines of a step, open and close, are one work; codes compare without case."""
    body = closed(job_to_close, hours=hours(("COVER", "Ann", "0.2"), ("cover", "Ann", "0.3"), ("BELT", "Bo", "0.5")))
    assert measured(body) == {("COVER", "Ann"): "0.5", ("BELT", "Bo"): "0.5"}


def test_hours_of_the_job_are_split_and_marked(job_to_close: JobToClose) -> None:
    body = closed(job_to_close, hours=hours(("BELT", "Bo", "0.5"), ("", "Ann", "2")))
    assert measured(body) == {("BELT", "Bo"): "0.5"}
    assert sum(one.hours for one in body.hours if not one.measured) == 2
    assert "BELT" not in {one.work for one in body.hours if not one.measured}


def test_the_clock_counts_beside_the_sheet(job_to_close: JobToClose) -> None:
    body = closed(
        job_to_close, (clocked("BELT", "Ann", "0.4"), clocked("BELT", "Ann", "0.1")), hours=hours(("COVER", "Ann", "1"))
    )
    assert measured(body) == {("COVER", "Ann"): "1", ("BELT", "Ann"): "0.5"}


def test_the_same_person_twice_on_one_work_is_refused(job_to_close: JobToClose) -> None:
    """However the name is written; for another work, or another person, both count."""
    clock = (clocked("BELT", "ann", "0.4"),)
    (problem,) = refused(job_to_close, clock, hours=hours(("COVER", "Ann", "1"), ("BELT", "Ann", "0.5")))
    assert (problem.code, problem.place.cell) == ("hours-twice", "H2")
    assert "0.5 h here and 0.4 h clocked on BELT" in problem.message and "--sheet-alone" in problem.remedy
    assert measured(closed(job_to_close, clock, hours=hours(("BELT", "Bo", "0.5")))) == {
        ("BELT", "Bo"): "0.5", ("BELT", "ann"): "0.4"
    }  # fmt: skip


def test_the_sheet_alone_may_count(job_to_close: JobToClose) -> None:
    sheet = a_sheet(hours=hours(("BELT", "Ann", "0.5")))
    body, problems = close_work(job_to_close, sheet, (clocked("BELT", "Ann", "0.4"),), sheet_alone=True)
    assert body is not None and problems == []
    assert measured(body) == {("BELT", "Ann"): "0.5"}


def test_what_was_clocked_and_taken_back_is_nothing(job_to_close: JobToClose) -> None:
    clock = (clocked("BELT", "Ann", "0.4"), clocked("BELT", "Ann", "-0.4"))
    assert measured(closed(job_to_close, clock, hours=hours(("BELT", "Ann", "0.5")))) == {("BELT", "Ann"): "0.5"}


@pytest.mark.parametrize(
    ("sheet", "code", "at"),
    [
        ({"hours": hours(("GEARBOX", "Ann", "1"))}, "work-not-agreed", "H1"),
        ({"not_done": marks("NEW-GEARBOX")}, "work-not-agreed", "G1"),
        ({"used": units(("SPARE", "1"))}, "part-not-agreed", "P1"),
        ({"more": units(("SPARES", "1"))}, "unknown-code", "P1"),
        ({"cores": units(("BUSHING", "1"))}, "core-not-charged", "P1"),
        ({"cores": units(("V-BELT", "1"), ("V-BELT", "1"))}, "core-too-many", "P2"),
        ({"used": units(("V-BELT", "0")), "cores": units(("V-BELT", "1"))}, "core-too-many", "P1"),
        ({"measured": units(("BENT@left", "1"))}, "unknown-finding", "P1"),
        ({"job_number": "J-2"}, "other-job", ""),
    ],
)
def test_what_is_refused_with_its_cell(job_to_close: JobToClose, sheet: Any, code: str, at: str) -> None:
    (problem,) = refused(job_to_close, **sheet)
    assert (problem.code, problem.place.cell) == (code, at)


def test_all_that_is_wrong_comes_at_once(job_to_close: JobToClose) -> None:
    wrong = refused(
        job_to_close,
        hours=hours(("GEARBOX", "Ann", "1"), ("FRAME", "Ann", "1")),
        not_done=marks("X"),
        measured=units(("Y", "1")),
    )
    assert [one.code for one in wrong] == ["work-not-agreed", "work-not-agreed", "work-not-agreed", "unknown-finding"]


def test_zero_hours_beside_anything_are_nothing(job_to_close: JobToClose) -> None:
    assert closed(job_to_close, hours=hours(("GEARBOX", "Ann", "0"), ("BELT", "Ann", "0"))).hours == ()


def test_a_job_number_compares_as_people_write_it(job_to_close: JobToClose) -> None:
    assert warned(job_to_close, job_number=" j-1 ", hours=hours(("BELT", "Ann", "1"))) == []


@pytest.mark.parametrize("older", [{"version": Decimal(1)}, {"agreement": Decimal(3)}, {"agreement": None}])
def test_an_older_work_order_is_told(job_to_close: JobToClose, older: Any) -> None:
    """Consent changed under the technician: what was written still counts, and somebody looks."""
    assert warned(job_to_close, hours=hours(("BELT", "Ann", "1")), **older) == ["older-work-order"]


def test_a_job_closed_without_hours_is_told(job_to_close: JobToClose) -> None:
    assert warned(job_to_close) == ["no-hours"]


@pytest.mark.parametrize(
    ("sheet", "expected"),
    [
        ({}, {"BUSHING": "2", "NUT": "6", "V-BELT": "1"}),
        ({"used": units(("nut", "7"))}, {"BUSHING": "2", "NUT": "7", "V-BELT": "1"}),
        ({"used": units(("NUT", "0"))}, {"BUSHING": "2", "NUT": "0", "V-BELT": "1"}),
        ({"more": units(("NUT", "2"))}, {"BUSHING": "2", "NUT": "8", "V-BELT": "1"}),
        ({"used": units(("NUT", "5")), "more": units(("nut", "2"))}, {"BUSHING": "2", "NUT": "7", "V-BELT": "1"}),
        ({"more": units(("spare", "2"), ("SPARE", "1"))}, {"BUSHING": "2", "NUT": "6", "V-BELT": "1", "SPARE": "3"}),
        ({"not_done": marks("NEW-BELT")}, {"BUSHING": "2", "NUT": "6", "V-BELT": "0"}),
        ({"not_done": marks("NEW-BELT"), "used": units(("V-BELT", "1"))}, {"BUSHING": "2", "NUT": "6", "V-BELT": "1"}),
        ({"not_done": marks("new-bush@left")}, {"BUSHING": "1", "NUT": "3", "V-BELT": "1"}),
    ],
)
def test_parts_that_were_used(job_to_close: JobToClose, sheet: Any, expected: dict[str, str]) -> None:
    """Blank is as agreed, zero is none, and what was not done took none, unless it is written."""
    assert quantities(closed(job_to_close, **sheet)) == expected


def test_a_part_that_was_not_agreed_has_its_cost_and_a_warning(job_to_close: JobToClose) -> None:
    body, problems = close_work(job_to_close, a_sheet(more=units(("SPARE", "2"))), (clocked("BELT", "Ann", "1"),))
    assert body is not None
    assert [(one.part, str(one.unit_cost)) for one in body.parts if one.unit_cost is not None] == [("SPARE", "3.3333")]
    assert [(one.code, one.severity, one.place.cell) for one in problems] == [("part-not-agreed", "warning", "P1")]


def test_old_parts_handed_back(job_to_close: JobToClose) -> None:
    assert closed(job_to_close, cores=units(("v-belt", "1"))).cores_returned == {"V-BELT": 1}
    assert closed(job_to_close, cores=units(("V-BELT", "0"))).cores_returned == {}


@pytest.mark.parametrize(("value", "told"), [("0.76", []), ("0.77", []), ("0.771", ["P1 still-fails"])])
def test_a_fault_measured_again(job_to_close: JobToClose, value: str, told: list[str]) -> None:
    """On the limit passes."""
    sheet: dict[str, Any] = {"measured": units(("worn@LEFT", value)), "hours": hours(("BELT", "Ann", "1"))}
    assert warned(job_to_close, **sheet) == told
    assert closed(job_to_close, **sheet).measured_again == {"WORN@left": Decimal(value)}


@pytest.mark.parametrize(
    ("fails_when", "value", "still"),
    [
        ("above", "1.1", True),
        ("above", "0.9", False),
        ("below", "0.9", True),
        ("below", "1.1", False),
        (None, "5", False),
    ],
)
def test_the_direction_of_a_limit(fails_when: str | None, value: str, still: bool) -> None:
    book = a_book()
    fault = build.a_finding_on("WORN", "left", measured="3", limit="1", fails_when=fails_when, unit="mm")
    work = to_close(book, build.a_job(fault))
    assert ("still-fails" in " ".join(warned(work, measured=units(("WORN@left", value))))) is still


def test_a_one_off_part_that_was_not_done_took_none() -> None:
    book = a_book()
    line = build.a_one_off(1, "part", 2, unit_cost=4)
    work = to_close(book, build.a_job(build.found(book, "CRACKED"), one_off=[line]))
    assert quantities(closed(work))["ONEOFF-1"] == "2"
    assert quantities(closed(work, not_done=marks("ONEOFF-1")))["ONEOFF-1"] == "0"


def test_nothing_written_is_all_as_agreed(job_to_close: JobToClose) -> None:
    body, problems = close_work(job_to_close, nothing_written(SHEET, job_to_close), (clocked("", "Ann", "2"),))
    assert body is not None and problems == []
    assert quantities(body) == {"BUSHING": "2", "NUT": "6", "V-BELT": "1"}
    assert sum(one.hours for one in body.hours) == 2


def test_of_another_job_nothing_else_matters(job_to_close: JobToClose) -> None:
    """Its codes are those of other work: a line about each would hide what is wrong."""
    problems = refused(job_to_close, job_number="999", hours=hours(("NOPE", "Ann", "1")), not_done=marks("NOPE"))
    assert [one.code for one in problems] == ["other-job"]
