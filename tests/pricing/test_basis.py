"""What a job is priced on: rates in force, final parts, steps and included work, looked up once."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.pricing.basis import Basis
from tests import build


def basis_of(book: ShopBook, job: Job | None = None) -> Basis:
    return Basis(book=book, job=job or build.a_job())


@pytest.mark.parametrize(
    ("day", "rate"),
    [
        (date(2025, 6, 30), 80),
        (date(2025, 12, 31), 90),
        (date(2026, 1, 1), 100),
        (date(2026, 3, 2), 100),
        (date(2027, 1, 1), 120),
    ],
)
def test_the_latest_rate_not_after_the_quote_date_wins(day: date, rate: int) -> None:
    """80 without a date, 90 from July 2025, 100 from 2026, 120 from 2027; rows in any order."""
    rows = [
        build.a_rate(rate=100, in_force_from=date(2026, 1, 1)),
        build.a_rate(rate=80),
        build.a_rate(rate=120, in_force_from=date(2027, 1, 1)),
        build.a_rate(rate=90, in_force_from=date(2025, 7, 1)),
    ]
    basis = basis_of(build.a_book(labour_rates=rows), build.a_job(quote_date=day))
    assert basis.rates["MAIN"].rate_per_hour == rate


def test_the_first_code_is_the_default_unless_the_job_says_otherwise() -> None:
    book = build.a_book(labour_rates=[build.a_rate("SHOP"), build.a_rate("FIELD", 140)])
    assert basis_of(book).default_rate == "SHOP"
    assert basis_of(book, build.a_job(labour_rate="FIELD")).default_rate == "FIELD"


def test_the_jobs_rate_stands_for_blank_labour_only() -> None:
    book = build.a_book(
        labour_rates=[build.a_rate("SHOP"), build.a_rate("FIELD"), build.a_rate("WELD")],
        access=[build.a_step("COVER"), build.a_step("FLOOR", labour="WELD")],
        operations=[build.an_operation("FIT", access=["COVER", "FLOOR"]), build.an_operation("JOIN", labour="WELD")],
    )
    basis = basis_of(book, build.a_job(labour_rate="FIELD"))
    assert basis.op("FIT", None).rate == "FIELD"
    assert basis.op("JOIN", None).rate == "WELD"
    assert [basis.step_named(key).rate for key in ("COVER", "FLOOR")] == ["FIELD", "WELD"]


def test_a_condition_is_looked_up_and_blank_has_none() -> None:
    book = build.a_book(conditions=[build.a_condition("RUSTY")])
    assert basis_of(book).condition is None
    rusty = basis_of(book, build.a_job(condition="RUSTY")).condition
    assert rusty is book.conditions["RUSTY"]


def test_replaced_by_is_followed_to_the_end() -> None:
    parts = [build.a_part("OLD", replaced_by="MIDDLE"), build.a_part("MIDDLE", replaced_by="NEW"), build.a_part("NEW")]
    basis = basis_of(build.a_book(parts=parts))
    assert basis.final_part("OLD").code == "NEW"
    assert basis.final_part("NEW").code == "NEW"


def test_the_jobs_row_of_a_part_stands_for_the_books() -> None:
    """A whole row: its price, and that nothing replaces it on this machine."""
    book = build.a_book(parts=[build.a_part("OLD", 10, replaced_by="NEW"), build.a_part("NEW", 20)])
    basis = basis_of(book, build.a_job(parts=[build.a_part("OLD", 40)]))
    assert basis.final_part("OLD").code == "OLD"
    assert str(basis.price("OLD").price) == "60.00"


STEPS = [
    build.a_step("HOOD"),
    build.a_step("WHEEL", each_side=True, needs=["JACK"]),
    build.a_step("HUB", each_side=True, needs=["WHEEL", "HOOD"]),
    build.a_step("JACK"),
    build.a_step("FRAME", needs=["WHEEL"]),
]


@pytest.mark.parametrize(
    ("code", "side", "reached"),
    [
        ("JACK", None, {"JACK"}),
        ("WHEEL", "left", {"WHEEL@left", "JACK"}),
        ("HUB", "right", {"HUB@right", "WHEEL@right", "HOOD", "JACK"}),
        ("WHEEL", None, {"WHEEL@left", "WHEEL@right", "JACK"}),
        ("FRAME", None, {"FRAME", "WHEEL@left", "WHEEL@right", "JACK"}),
        ("FRAME", "left", {"FRAME", "WHEEL@left", "WHEEL@right", "JACK"}),
    ],
)
def test_access_is_the_closure_of_needs(code: str, side: str | None, reached: set[str]) -> None:
    """Each-side steps on the side they are reached from; from a step without a side, at every position."""
    assert basis_of(build.a_book(access=STEPS)).steps_from([code], side) == reached


def test_a_step_with_no_side_opens_every_position_of_the_class() -> None:
    job = build.a_job(positions=("front left", "front right", "rear"))
    reached = basis_of(build.a_book(access=STEPS), job).steps_from(["WHEEL"], None)
    assert reached == {"WHEEL@front left", "WHEEL@front right", "WHEEL@rear", "JACK"}


def test_steps_that_need_each_other_end() -> None:
    book = build.a_book(access=[build.a_step("A", needs=["B"]), build.a_step("B", needs=["A"])])
    assert basis_of(book).steps_from(["A"], None) == {"A", "B"}


def test_companions_are_added_and_replacements_followed() -> None:
    """2 old shafts become 2 new ones with a key each; a key needs half a tube of glue."""
    parts = [
        build.a_part("OLD", replaced_by="SHAFT", also_needs="NEVER x 9"),
        build.a_part("SHAFT", also_needs="KEY"),
        build.a_part("KEY", also_needs="GLUE x 0.5"),
        build.a_part("GLUE"),
        build.a_part("NEVER"),
    ]
    uses = basis_of(build.a_book(parts=parts)).uses("FIT", build.quantities("OLD x 2"), None)
    assert dict(uses) == {"SHAFT": Decimal(2), "KEY": Decimal(2), "GLUE": Decimal(1)}


def test_parts_used_rows_by_side_and_machine() -> None:
    """`left` counts on left front and left rear; a row for another class does not count."""
    rows = [
        build.a_part_used("FIT", "LEFT", sides=("left",)),
        build.a_part_used("FIT", "RIGHT", sides=("right",)),
        build.a_part_used("FIT", "ANY", 2),
        build.a_part_used("FIT", "HERE", machines=("THROWER",)),
        build.a_part_used("FIT", "ELSEWHERE", machines=("TRAILER",)),
    ]
    codes = ["LEFT", "RIGHT", "ANY", "HERE", "ELSEWHERE"]
    basis = basis_of(build.a_book(parts=[build.a_part(code) for code in codes], parts_used=rows))
    assert dict(basis.uses("FIT", (), "left front")) == {"LEFT": 1, "ANY": 2, "HERE": 1}
    assert dict(basis.uses("FIT", (), "right")) == {"RIGHT": 1, "ANY": 2, "HERE": 1}
    assert dict(basis.uses("FIT", (), None)) == {"ANY": 2, "HERE": 1}


def test_own_parts_match_after_replacement() -> None:
    book = build.a_book(parts=[build.a_part("OLD", replaced_by="NEW"), build.a_part("NEW")])
    assert basis_of(book, build.a_job(own_parts=("OLD",))).own_parts == {"NEW"}


@pytest.mark.parametrize(("supplier", "shelf"), [("SHELF", True), ("NORTH", False), ("", True), ("Free text", False)])
def test_the_shelf_is_a_supplier_or_none_at_all(supplier: str, shelf: bool) -> None:
    assert basis_of(build.a_book()).is_shelf(supplier) is shelf


@pytest.mark.parametrize(("currency", "digits"), [("USD", 2), ("JPY", 0), ("KWD", 3)])
def test_digits_are_those_of_the_currency(currency: str, digits: int) -> None:
    assert basis_of(build.a_book(settings=build.settings(currency=currency))).digits == digits


def test_always_work_is_that_of_the_machine_class() -> None:
    book = build.a_book(machines=[build.a_machine(always=["TEST"]), build.a_machine("TRAILER", always=["OTHER"])])
    assert basis_of(book).always == ("TEST",)
    assert basis_of(book, build.a_job(machine_class="Anything")).always == ()
    assert basis_of(build.a_book(machines=None)).always == ()


def test_another_price_or_other_hours_leave_the_first_basis_as_it_was() -> None:
    """What if a seal sold at 4.00, or fitting it took half an hour: asked of a copy."""
    book = build.a_book(operations=[build.an_operation("FIT", 1, parts="SEAL x 2")], parts=[build.a_part("SEAL", 10)])
    basis = Basis(book=book, job=build.a_job())
    basis.op("FIT", None)
    cheaper, quicker = basis.at_price("SEAL", Decimal(4)), basis.at_hours("FIT", Decimal("0.5"))
    assert [str(one.price("SEAL").price) for one in (basis, cheaper, quicker)] == ["15.00", "4.00", "15.00"]
    assert [str(one.op("FIT", None).net_hours) for one in (basis, cheaper, quicker)] == ["1", "1", "0.5"]
