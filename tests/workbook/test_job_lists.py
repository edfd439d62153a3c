"""What a job may pick, as a whole and by machine class."""

from __future__ import annotations

import pytest

from quotekit.workbook.job_lists import class_lists, code_lists, range_name, what_to_measure
from tests.build import a_book, a_finding, a_machine
from tests.workbook.class_shop import class_shop


def offered(code: str, *sheets: str) -> tuple[str, ...]:
    """What a class of the small shop offers of a list."""
    (lists,) = (each for each in class_lists(class_shop()) if each.code == code)
    return lists.offered[range_name(sheets)]


def test_whole_lists_hold_everything() -> None:
    lists = {each.name: each.codes for each in code_lists(class_shop())}
    assert lists["list_Findings"] == ("BORE", "HUB", "LOOSE", "OTHER")
    assert lists["list_Machines"] == ("BLOWER", "TANDEM", "10")
    assert lists["list_Sides"][-3:] == ("tines", "both", "all")
    assert lists["list_Remedies_Extras_Operations"][:3] == ("BUSH-NEW", "HUB-NEW", "TIGHTEN")


@pytest.mark.parametrize(
    ("code", "findings"),
    [
        ("BLOWER", ("BORE", "HUB", "LOOSE", "OTHER")),
        ("TANDEM", ("HUB", "LOOSE", "OTHER")),
        ("10", ("LOOSE", "OTHER")),
    ],
)
def test_findings_of_a_class_are_its_own_and_those_of_all(code: str, findings: tuple[str, ...]) -> None:
    """OTHER is always there: what the book does not list may be on any machine."""
    assert offered(code, "Findings") == findings


def test_extras_of_a_class() -> None:
    assert [offered(code, "Extras") for code in ("BLOWER", "TANDEM", "10")] == [("BELT",), ("GREASE",), ()]


def test_sides_of_a_class() -> None:
    """`both` only where there are just two."""
    assert offered("BLOWER", "Sides") == ("left", "right", "both", "all")
    assert offered("TANDEM", "Sides") == ("left front", "left rear", "right front", "right rear", "all")
    assert offered("10", "Sides") == ("tines", "all")


def test_a_plan_takes_remedies_of_findings_the_class_can_have() -> None:
    """TIGHTEN fixes two findings; one of them on the class is enough. Operations belong to no class."""
    items = ("Remedies", "Extras", "Operations")
    assert offered("BLOWER", *items) == ("BUSH-NEW", "HUB-NEW", "TIGHTEN", "BELT", "FIT", "TEST")
    assert offered("10", *items) == ("TIGHTEN", "FIT", "TEST")


def test_a_class_goes_by_code_or_name() -> None:
    assert [each.typed for each in class_lists(class_shop())] == [
        ("BLOWER", "Snow thrower (two-stage)"),
        ("TANDEM", "Trailer, tandem"),
        ("10", "Tiller"),
    ]


@pytest.mark.parametrize(
    ("machines", "typed"),
    [
        ([("A", "Mower"), ("B", "mower")], [("A",), ("B",)]),
        ([("A", "b"), ("B", "Tiller")], [("A",), ("B", "Tiller")]),
        ([("A 1", "Mower"), ("A1", "Tiller")], [("Mower",), ("Tiller",)]),
    ],
    ids=["one name twice", "a name that is another's code", "codes that differ by a space"],
)
def test_what_could_mean_two_classes_means_none(machines: list[tuple[str, str]], typed: list[tuple[str, ...]]) -> None:
    """The whole list is offered then: never that of another machine."""
    book = a_book(machines=[a_machine(code, machine_class=name) for code, name in machines])
    assert [each.typed for each in class_lists(book)] == typed


def test_a_book_without_machines_has_no_class() -> None:
    assert class_lists(class_shop(machines=None)) == []


@pytest.mark.parametrize(
    ("values", "text"),
    [
        ({"measure": "Bore", "unit": "in", "limit": "0.770", "fails_when": "above"}, "Bore (in): not above 0.770"),
        ({"measure": "Shaft", "unit": "mm", "limit": "18.5", "fails_when": "below"}, "Shaft (mm): not below 18.5"),
        ({"limit": "100", "fails_when": "below", "unit": "psi"}, "Worn (psi): not below 100"),
        ({"measure": "Tread"}, "Tread"),
        ({}, "Worn (by eye)"),
    ],
)
def test_what_to_measure_says_what_in_which_unit_and_what_passes(values: dict[str, str], text: str) -> None:
    assert what_to_measure(a_finding("WORN", **values)) == text
