"""The work order of what was agreed: lines in order, cautions once, what to measure again, parts by side."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given

from quotekit.model.agreed import Agreed
from quotekit.model.job import Job
from quotekit.model.shop_book import Caution, ShopBook
from quotekit.model.work_order import WorkOrder
from quotekit.pricing import build_quote
from quotekit.pricing.agreed import agreed_of
from quotekit.pricing.work_order import build_work_order
from tests import build
from tests.random_jobs import Case, cases

STEPS = [
    build.a_step("COVER", "0.1", "0.2", cautions=["PLUG"]),
    build.a_step("FLANGE", "0.1", "0.1", needs=["COVER"], each_side=True, parts="NUT x 3"),
]
OPERATIONS = [
    build.an_operation("SAFE", "0.1", operation="Make safe", cautions=["PLUG"]),
    build.an_operation("TRIAL", "0.2", operation="Run under load", cautions=["FUMES"]),
    build.an_operation("BUSH", "0.4", each_side=True, access=["FLANGE"], requires=["CLEAN"], slowed_by_rust=True),
    build.an_operation("CLEAN", "0.1", each_side=True, access=["FLANGE"]),
    build.an_operation("BELT", "0.3", access=["COVER"], cautions=["PLUG", "FINGERS"]),
]
CAUTIONS = [
    Caution(code="PLUG", caution="Plug lead off", caution_source="a manual"),
    Caution(code="FUMES", caution="Outdoors"),
    Caution(code="FINGERS", caution="Fingers out"),
]
WORN = build.a_finding("WORN", measure="Bore", unit="in", fails_when="above", limit="0.77", as_new="0.753")


def a_book(**changes: Any) -> ShopBook:
    given_: dict[str, Any] = {
        "machines": [build.a_machine(always=["SAFE", "TRIAL"])],
        "access": STEPS,
        "operations": OPERATIONS,
        "parts": [build.a_part(code) for code in ("BUSHING", "NUT", "V-BELT")],
        "findings": [WORN, build.a_finding("CRACKED")],
        "remedies": [
            build.a_remedy("NEW-BUSH", ["WORN"], ["BUSH"], parts="BUSHING"),
            build.a_remedy("NEW-BELT", ["CRACKED"], ["BELT"], parts="V-BELT"),
        ],
        "cautions": CAUTIONS,
        "conditions": [build.a_condition("RUSTY", "0.25")],
    }
    return build.a_book(**given_ | changes)


def agreed(book: ShopBook, job: Job, place: int = 0) -> Agreed:
    """The first option, or another, as it is agreed."""
    return agreed_of(book, job, build_quote(book, job).tiers[place])


def ordered(book: ShopBook, job: Job) -> WorkOrder:
    return build_work_order(book, job, agreed(book, job))


def lines(order: WorkOrder) -> list[str]:
    """Each line as its kind, its key and its hours, set in by what is open."""
    return [f"{'  ' * step.open_now}{step.kind} {step.key} {step.hours.normalize():f}" for step in order.steps]


def both_sides(book: ShopBook, **values: Any) -> Job:
    worn = [build.found(book, "WORN", side, measured) for side, measured in (("left", "0.78"), ("right", "0.79"))]
    return build.a_job(*worn, build.found(book, "CRACKED"), **values)


def test_the_whole_of_a_job() -> None:
    book = a_book()
    order = ordered(book, both_sides(book, condition="RUSTY"))
    assert lines(order) == [
        "first SAFE 0.1",
        "open COVER 0.1",
        "  do BELT 0.3",
        "  open FLANGE@left 0.1",
        "    do CLEAN@left 0.1",
        "    do BUSH@left 0.4",
        "  close FLANGE@left 0.1",
        "  open FLANGE@right 0.1",
        "    do CLEAN@right 0.1",
        "    do BUSH@right 0.4",
        "  close FLANGE@right 0.1",
        "close COVER 0.2",
        "last TRIAL 0.2",
    ]
    assert (order.allowance, order.standard_hours) == (Decimal("0.2"), Decimal("2.5"))


def test_cautions_come_once_in_the_order_of_the_work() -> None:
    book = a_book()
    order = ordered(book, both_sides(book))
    assert [(line.code, line.about) for line in order.cautions] == [
        ("PLUG", ("Make safe", "Cover", "Belt")),
        ("FINGERS", ("Belt",)),
        ("FUMES", ("Run under load",)),
    ]
    assert order.cautions[0].source == "a manual"


def test_a_caution_the_book_lacks_is_left_out() -> None:
    """The reader refuses such a book; an old one in the ledger must still give its work order."""
    book = a_book(cautions=CAUTIONS[1:])
    assert [line.code for line in ordered(book, both_sides(book)).cautions] == ["FINGERS", "FUMES"]


def test_measured_faults_that_are_fixed_are_measured_again() -> None:
    """Not those by judgement, nor those that pass."""
    book = a_book()
    job = build.a_job(
        build.found(book, "WORN", "left", "0.78"),
        build.found(book, "WORN", "right", "0.76"),
        build.found(book, "CRACKED"),
    )
    (again,) = ordered(book, job).measurements
    assert (again.key, again.measured, again.limit, again.as_new) == (
        "WORN@left", Decimal("0.78"), Decimal("0.77"), Decimal("0.753")
    )  # fmt: skip


def test_parts_by_side() -> None:
    book = a_book()
    order = ordered(book, both_sides(book))
    parts = {part.part: (str(part.quantity), [(side, str(many)) for side, many in part.places]) for part in order.parts}
    assert parts == {
        "BUSHING": ("2", [("left", "1"), ("right", "1")]),
        "NUT": ("6", [("left", "3"), ("right", "3")]),
        "V-BELT": ("1", []),
    }  # fmt: skip


def test_sides_without_numbers_where_a_kit_brings_some() -> None:
    """What goes where no longer adds up to what is ordered, so no number is told that may be wrong."""
    parts = [*(build.a_part(code) for code in ("NUT", "V-BELT")), build.a_part("BUSHING", contains="NUT x 2")]
    book = a_book(parts=parts)
    nut = next(part for part in ordered(book, both_sides(book)).parts if part.part == "NUT")
    assert nut.quantity == 2
    assert nut.places == (("left", None), ("right", None))


def test_what_a_part_is() -> None:
    core = build.a_part("V-BELT", core_charge=5, supplier="SHELF", new_or_used="rebuilt", unit="m")
    book = a_book(parts=[build.a_part("BUSHING"), build.a_part("NUT"), core])
    job = both_sides(book, own_parts=["BUSHING"], old_parts="keep")
    by_code = {part.part: part for part in ordered(book, job).parts}
    belt, bushing = by_code["V-BELT"], by_code["BUSHING"]
    assert (belt.core, belt.ordered, belt.own, belt.new_or_used, belt.unit) == (True, False, False, "rebuilt", "m")
    assert (bushing.core, bushing.own) == (False, True)


@pytest.mark.parametrize(
    ("always", "expected"),
    [
        ({"SAFE": "Make safe"}, "first"),
        ({"TRIAL": "Test under load"}, "last"),
        ({"CHECK": "Road check"}, "last"),
        ({"TEST-SAFE": "Test the safety switch"}, "first"),
        ({"PROBE": "Probelauf"}, "first"),
        ({"OPEN": "Let the pressure off"}, "first"),
    ],
)
def test_what_is_always_done_comes_first_or_last(always: dict[str, str], expected: str) -> None:
    """Where no word says it, first: making safe too late is dangerous, a test too early is not."""
    (code, name), *_ = always.items()
    operations = [*OPERATIONS, build.an_operation(code, "0.1", operation=name)] if code not in "SAFE TRIAL" else [
        *(one for one in OPERATIONS if one.code != code), build.an_operation(code, "0.1", operation=name)
    ]  # fmt: skip
    book = a_book(machines=[build.a_machine(always=[code])], operations=operations)
    order = ordered(book, build.a_job(build.found(book, "CRACKED")))
    assert [step.kind for step in order.steps if step.key == code] == [expected]
    assert order.steps[0 if expected == "first" else -1].key == code


def test_of_several_without_a_word_the_first_is_first() -> None:
    operations = [
        *OPERATIONS,
        build.an_operation("EINS", operation="Sichern"),
        build.an_operation("ZWEI", operation="Probe"),
    ]
    book = a_book(machines=[build.a_machine(always=["EINS", "ZWEI"])], operations=operations)
    kinds = {step.key: step.kind for step in ordered(book, build.a_job(build.found(book, "CRACKED"))).steps}
    assert (kinds["EINS"], kinds["ZWEI"]) == ("first", "last")


def test_what_is_always_done_behind_a_cover_is_done_while_it_is_open() -> None:
    operations = [*OPERATIONS, build.an_operation("GREASE", access=["COVER"])]
    book = a_book(machines=[build.a_machine(always=["GREASE"])], operations=operations)
    order = ordered(book, build.a_job(build.found(book, "CRACKED")))
    assert [step.key for step in order.steps] == ["COVER", "BELT", "GREASE", "COVER"]


def test_one_off_work_is_done_while_what_it_names_is_open() -> None:
    """A part that must be fitted behind a cover is a line too, though it has no hours; one that lies open is not."""
    book = a_book()
    one_off = [
        build.a_one_off(1, "labour", "0.5", access=["FLANGE"]),
        build.a_one_off(2, "part", 1, unit_cost=4, access=["COVER"]),
        build.a_one_off(3, "part", 1, unit_cost=4),
        build.a_one_off(4, "labour", "0.2"),
    ]
    order = ordered(book, build.a_job(build.found(book, "CRACKED"), one_off=one_off))
    assert lines(order)[1:-1] == [
        "do ONEOFF-4 0.2",
        "open COVER 0.1",
        "  do BELT 0.3",
        "  do ONEOFF-2 0",
        "  open FLANGE@left 0.1",
        "    open FLANGE@right 0.1",
        "      do ONEOFF-1 0.5",
        "    close FLANGE@right 0.1",
        "  close FLANGE@left 0.1",
        "close COVER 0.2",
    ]


def test_the_second_side_takes_its_own_hours() -> None:
    operations = [*(one for one in OPERATIONS if one.code != "BUSH"), build.an_operation(
        "BUSH", "0.4", each_side=True, access=["FLANGE"], second_side_hours="0.25"
    )]  # fmt: skip
    book = a_book(operations=operations)
    hours = {step.key: str(step.hours) for step in ordered(book, both_sides(book)).steps if step.code == "BUSH"}
    assert hours == {"BUSH@left": "0.4", "BUSH@right": "0.25"}


@given(cases())
def test_the_lines_add_up_to_what_was_agreed(case: Case) -> None:
    """Whatever the shop and the job: every operation once, every step opened and closed once, hours exact."""
    book, job = case
    for tier in build_quote(book, job).tiers:
        if not tier.items:
            continue
        what = agreed_of(book, job, tier)
        order = build_work_order(book, job, what)
        kinds: dict[str, list[str]] = {}
        for step in order.steps:
            kinds.setdefault(step.key, []).append(step.kind)
        for work in what.work:
            assert kinds.pop(work.key) == (["open", "close"] if work.kind == "access" else [kinds_of(order, work.key)])
        assert set(kinds) <= {item.key for item in what.items if item.kind == "one-off"}
        assert sum((step.hours for step in order.steps), order.allowance) == order.standard_hours
        assert [part.part for part in order.parts] == [part.part for part in what.parts]
        assert len({line.code for line in order.cautions}) == len(order.cautions)


def kinds_of(order: WorkOrder, key: str) -> str:
    """The one kind of an operation's line."""
    (kind,) = {step.kind for step in order.steps if step.key == key}
    assert kind in ("first", "do", "last")
    return kind
