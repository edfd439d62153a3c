"""Who brings how many of a part (rules 5.2 step 6): operations, steps, rows of Parts used, companions, successors."""

from __future__ import annotations

import pytest

from tests.build import (
    a_finding,
    a_job,
    a_machine,
    a_part,
    a_part_used,
    a_remedy,
    a_step,
    an_operation,
    found,
)
from tests.pricing.explain.small import a_shop, assert_said, figure, reads, said, trees

OPERATIONS = [an_operation("FIT", "0.5", access=["COVER"], parts="SEAL x 3"), an_operation("TEST", parts="SEAL")]


def test_each_who_needs_a_part_brings_its_own() -> None:
    book = a_shop(
        operations=OPERATIONS,
        findings=[a_finding("WORN"), a_finding("OLD")],
        remedies=[a_remedy("NEW", ["WORN"], ["FIT"]), a_remedy("OTHER", ["OLD"], ["TEST"])],
    )
    assert_said({"SEAL brought": "4 = sum(SEAL for FIT 3, SEAL for TEST 1)"}, book)
    found = trees(book)
    assert reads(found["SEAL for FIT"]) == ["FIT: Parts"] and reads(found["SEAL for TEST"]) == ["TEST: Parts"]


def test_a_step_brings_its_parts_once_and_parts_used_add_theirs() -> None:
    """A gasket whenever the cover comes off, and two clips by a row of Parts used."""
    book = a_shop(
        access=[a_step("COVER", parts="GASKET")],
        parts=[a_part("SEAL"), a_part("GASKET"), a_part("CLIP")],
        parts_used=[a_part_used("FIT", "CLIP", 2)],
    )
    found = trees(book)
    assert said(found["parts.GASKET.quantity"]) == "1 = same(GASKET brought 1)"
    assert reads(found["GASKET for COVER"]) == ["COVER: Parts"]
    assert found["CLIP for FIT"].value == "2" and reads(found["CLIP for FIT"]) == ["FIT: Part", "FIT: Quantity"]


def test_companions_come_with_each_unit_even_of_a_companion() -> None:
    """Three seals, two clips with each seal, one pin with each clip: three, six and six."""
    book = a_shop(
        operations=[OPERATIONS[0]],
        parts=[a_part("SEAL", also_needs="CLIP x 2"), a_part("CLIP", also_needs="PIN"), a_part("PIN")],
    )
    found = trees(book)
    assert said(found["CLIP with SEAL"]) == "6 = product(SEAL for FIT 3, CLIP with each SEAL 2)"
    assert said(found["PIN with CLIP"]) == "6 = product(CLIP with SEAL 6, PIN with each CLIP 1)"
    assert reads(found["CLIP with each SEAL"]) == ["SEAL: Also needs"]


def test_a_successor_stands_for_a_part_down_the_whole_line() -> None:
    """SEAL was replaced by SEAL-B and that by SEAL-C: every cell of the way is named."""
    book = a_shop(
        operations=[OPERATIONS[0]],
        parts=[a_part("SEAL", replaced_by="SEAL-B"), a_part("SEAL-B", replaced_by="SEAL-C"), a_part("SEAL-C", 20)],
    )
    node = figure("SEAL-C for SEAL", book)
    assert said(node) == "3 = same(SEAL for FIT 3)"
    assert reads(node) == ["SEAL-B: Replaced by", "SEAL: Replaced by"]
    assert node.rule.startswith("SEAL is replaced by SEAL-C")


@pytest.mark.parametrize(
    ("loose", "in_kit", "taken", "left"),
    [("3", "2", "2", "1"), ("3", "3", "3", "0"), ("3", "5", "3", "0")],
)
def test_a_kit_brings_what_need_not_be_bought_loose(loose: str, in_kit: str, taken: str, left: str) -> None:
    """Two kits; what they hold is taken off, and a part that is all in kits has no line."""
    book = a_shop(
        operations=[an_operation("FIT", "0.5", parts=f"KIT x 2; SEAL-B x {int(loose) * 2}")],
        parts=[
            a_part("KIT", 30, contains=f"SEAL x {in_kit}"),
            a_part("SEAL", replaced_by="SEAL-B"),
            a_part("SEAL-B", 10),
        ],
    )
    needed, held, less, rest = (int(one) * 2 for one in (loose, in_kit, taken, left))
    known = trees(book)
    if not rest:
        assert "parts.SEAL-B.quantity" not in known
        return
    assert said(known["SEAL-B in kits"]) == f"{held} = sum(SEAL in KIT together {held})"
    assert said(known["SEAL in KIT together"]) == f"{held} = product(KIT brought 2, SEAL in KIT {in_kit})"
    assert said(known["SEAL-B taken from kits"]) == f"{less} = least(SEAL-B in kits {held}, SEAL-B brought {needed})"
    assert reads(known["SEAL in KIT"]) == ["KIT: Contains"]
    line = f"{rest} = difference(SEAL-B brought {needed}, SEAL-B taken from kits {less})"
    assert said(known["parts.SEAL-B.quantity"]) == line
    assert "less what kits contain, never below zero" in known["parts.SEAL-B.quantity"].rule


def test_a_remedy_brings_parts_of_its_own_unless_larger_work_does_it() -> None:
    book = a_shop(
        operations=[an_operation("FIT", "0.5", includes=["SMALL"]), an_operation("SMALL", "0.1")],
        parts=[a_part("CAP"), a_part("PIN")],
        findings=[a_finding("WORN"), a_finding("LOOSE")],
        remedies=[
            a_remedy("NEW", ["WORN"], ["FIT"], parts="PIN x 2"),
            a_remedy("PINNED", ["LOOSE"], ["SMALL"], parts="CAP; PIN"),
        ],
    )
    known = trees(book)
    assert said(known["PIN brought"]) == "2 = sum(PIN for NEW 2)" and "parts.CAP.quantity" not in known
    assert reads(known["PIN for NEW"]) == ["NEW: Parts"]


@pytest.mark.parametrize(
    ("side", "machine", "brought"),
    [
        ("left", "THROWER", "4 = sum(CLIP for FIT@left 1, CLIP for FIT@left 3)"),
        ("right", "THROWER", "1 = sum(CLIP for FIT@right 1)"),
        ("left", "MOWER", "3 = sum(CLIP for FIT@left 1, CLIP for FIT@left 2)"),
    ],
)
def test_a_row_of_parts_used_counts_on_its_side_and_its_machines(side: str, machine: str, brought: str) -> None:
    """One clip always, three more on the left of throwers, two on the left of mowers."""
    book = a_shop(
        operations=[an_operation("FIT", "0.5", each_side=True)],
        parts=[a_part("CLIP", 1)],
        machines=[a_machine("THROWER"), a_machine("MOWER")],
        parts_used=[
            a_part_used("FIT", "CLIP", 1),
            a_part_used("FIT", "CLIP", 3, sides=["left"], machines=["THROWER"]),
            a_part_used("FIT", "CLIP", 2, sides=["left"], machines=["MOWER"]),
        ],
    )
    job = a_job(found(book, "WORN", side), machine_class=machine)
    assert_said({"CLIP brought": brought}, book, job)
