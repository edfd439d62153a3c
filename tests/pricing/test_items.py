"""Items of a tier on their sides: what they bring and what they fix (DESIGN.md 5.2 and 5.9)."""

from __future__ import annotations

import pytest

from quotekit.pricing.basis import Basis
from quotekit.pricing.items import ALWAYS, always_item, extra_item, fixed_by, one_off_item, operation_item, remedy_item
from tests import build

BOOK = build.a_book(
    access=[build.a_step("COVER"), build.a_step("WHEEL", each_side=True)],
    operations=[
        build.an_operation("BUSH", each_side=True, requires=["ALIGN"]),
        build.an_operation("ALIGN", requires=["GREASE"]),
        build.an_operation("GREASE", each_side=True),
        build.an_operation("BELT"),
        build.an_operation("TEST"),
    ],
    parts=[build.a_part("PIN")],
    remedies=[
        build.a_remedy("NEW-BUSH", ["WORN", "LOOSE"], ["BUSH"], parts="PIN x 2", life_years=4),
        build.a_remedy("NEW-BELT", ["FRAYED"], ["BELT"]),
    ],
    extras=[build.an_extra("SPARE", ["BELT"], parts="PIN")],
    machines=[build.a_machine(always=["TEST"])],
)
FOUND = [
    build.a_finding_on("WORN", "left"),
    build.a_finding_on("WORN", "right"),
    build.a_finding_on("LOOSE", "left", fault=False),
    build.a_finding_on("FRAYED", "left"),
    build.a_finding_on("FRAYED", "right"),
]
BASIS = Basis(book=BOOK, job=build.a_job(*FOUND))


def test_a_sided_remedy_fixes_the_finding_on_its_side() -> None:
    item = remedy_item(BASIS, BOOK.remedies["NEW-BUSH"], "left")
    assert item.key == "NEW-BUSH@left"
    assert item.fixes == {"WORN@left"}
    assert item.life == 4


def test_any_other_remedy_fixes_its_findings_on_every_side() -> None:
    item = remedy_item(BASIS, BOOK.remedies["NEW-BELT"], None)
    assert (item.key, item.fixes) == ("NEW-BELT", frozenset({"FRAYED@left", "FRAYED@right"}))


def test_a_finding_within_its_limit_is_not_fixed() -> None:
    """It is neither fixed nor left."""
    assert fixed_by(BOOK.remedies["NEW-BUSH"], None, FOUND) == {"WORN@left", "WORN@right"}


def test_the_side_is_handed_down_through_work_that_has_none() -> None:
    """BUSH on the left requires ALIGN, which has no side, which requires GREASE on the left."""
    item = remedy_item(BASIS, BOOK.remedies["NEW-BUSH"], "left")
    assert item.direct == {"BUSH@left"}
    assert item.wanted == {"BUSH@left", "ALIGN", "GREASE@left"}
    assert set(item.edges) == {("BUSH@left", "ALIGN"), ("ALIGN", "GREASE@left")}


def test_a_remedy_and_an_extra_bring_their_own_parts() -> None:
    assert dict(remedy_item(BASIS, BOOK.remedies["NEW-BUSH"], "left").parts) == {"PIN": 2}
    extra = extra_item(BASIS, BOOK.extras["SPARE"], None, asked=True)
    assert dict(extra.parts) == {"PIN": 1}
    assert (extra.asked, extra.fixes, extra.life) == (True, frozenset(), None)


@pytest.mark.parametrize(
    ("code", "side", "wanted"),
    [("BELT", None, {"BELT"}), ("BUSH", "right", {"BUSH@right", "ALIGN", "GREASE@right"})],
)
def test_an_operation_may_stand_by_itself_in_a_plan(code: str, side: str | None, wanted: set[str]) -> None:
    item = operation_item(BASIS, code, side)
    assert item.wanted == wanted
    assert (item.kind, item.parts) == ("operation", ())


def test_always_work_has_no_owner() -> None:
    item = always_item(BASIS)
    assert (item.key, item.wanted) == (ALWAYS, frozenset({"TEST"}))


def test_a_one_off_line_brings_its_hours_and_the_access_it_names() -> None:
    line = build.a_one_off(1, "labour", "1.5", access=["COVER", "WHEEL"], fixes=["FRAYED"])
    item = one_off_item(BASIS, line)
    op = BASIS.op_named("ONEOFF-1")
    assert item.fixes == {"FRAYED@left", "FRAYED@right"}
    assert (str(op.net_hours), op.rate) == ("1.5", "MAIN")
    assert op.steps == {"COVER", "WHEEL@left", "WHEEL@right"}


@pytest.mark.parametrize("kind", ["part", "sublet", "charge"])
def test_only_labour_lines_have_hours(kind: str) -> None:
    """A quantity of 3 parts is no 3 hours."""
    one_off_item(BASIS, build.a_one_off(2, kind, 3, unit_price=5))
    assert BASIS.op_named("ONEOFF-2").net_hours == 0
