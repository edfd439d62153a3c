"""Who brings how many of a part (rules 5.2 step 6): operations, steps, rows of Parts used, companions, successors."""

from __future__ import annotations

from tests.build import a_finding, a_part, a_part_used, a_remedy, a_step, an_operation
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
