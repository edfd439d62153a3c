"""Every workbook that is written passes the Open XML SDK's validator and the lint for what that misses."""

from __future__ import annotations

from pathlib import Path

from quotekit.workbook.printable import printable
from tests.conformity.lint import faults
from tests.conformity.open_xml import errors_of, program_in
from tests.conformity.package_parts import MAIN, Parts, formulas_of
from tests.conformity.planted import SHEET, Plant, good_workbook, swap
from tests.conformity.shapes import cover, shapes_of
from tests.conformity.written import customer_quotes, offered_quotes, shop_workbooks

FOUND_BY_THE_VALIDATOR: dict[str, Plant] = {
    "an element out of order": swap(SHEET, "<sheetData>", "<pageMargins/><sheetData>"),
    "an unknown element": swap(SHEET, "<sheetData>", "<cost>8</cost><sheetData>"),
    "a style that is not there": swap(SHEET, '<c r="C1">', '<c r="C1" s="999">'),
    "broken markup": swap(SHEET, "</sheetData>", ""),
    "no workbook at all": lambda workbook: workbook[:2],
}

ALWAYS = {
    "costing of 2611-01 snow thrower, worn bushings", "costing of long texts", "quote of long texts",
    "quote of hostile texts", "quote of more hostile texts",
}  # fmt: skip
"""The largest, and those with texts that are long or try to be something else."""


def test_every_workbook_passes_the_open_xml_sdk(npm_folder: Path, tmp_path: Path) -> None:
    """Microsoft's own rules for the file, over every kind of workbook.

    The validator takes a second a file. So it is shown those that hold together every element, attribute and order of
    elements that any of them has, and a few with unusual texts. `python -m
    tests.conformity.open_xml` shows it all of them.
    """
    workbooks = customer_quotes() | shop_workbooks()
    shapes = {name: shapes_of(data) for name, data in workbooks.items()}
    shown = cover(shapes) | ALWAYS
    assert len(workbooks) > 30 and len(shown) > 6
    assert frozenset().union(*(shapes[name] for name in shown)) == frozenset().union(*shapes.values())
    assert errors_of(program_in(npm_folder), {name: workbooks[name] for name in shown}, tmp_path) == {}


def test_a_shape_is_what_a_schema_has_rules_about() -> None:
    """An element out of order, one in another place, an attribute more, another word: all of them are new."""
    good = good_workbook()
    known = shapes_of(good)
    for plant in (
        swap(SHEET, "<sheetData>", "<pageMargins/><sheetData>"),
        swap(SHEET, "<sheetData>", "<sheetData/><sheetData>"),
        swap(SHEET, '<c r="C1">', '<c r="C1" ph="1">'),
        swap(SHEET, '<c r="C1">', '<c r="C1" t="e">'),
    ):
        assert shapes_of(plant(good)) - known
    assert shapes_of(swap(SHEET, '<c r="C1">', '<c r="C2">')(good)) == known, "where a cell is, is no shape"


def test_the_validator_finds_planted_faults(npm_folder: Path, tmp_path: Path) -> None:
    """Or its answer would not be worth reading."""
    good = good_workbook()
    planted = {name: plant(good) for name, plant in FOUND_BY_THE_VALIDATOR.items()}
    found = errors_of(program_in(npm_folder), {"good": good} | planted, tmp_path)
    assert set(found) == set(planted)


def test_customer_quotes_have_no_fault_the_validator_misses() -> None:
    """Nor a function outside the list, a link, a comment, or a property but the shop's name."""
    shops = {name: printable(quote.book.settings.shop_name) for name, quote in offered_quotes().items()}
    found = {name: faults(data, shop=shops[name]) for name, data in customer_quotes().items()}
    assert {name: what for name, what in found.items() if what} == {}


def test_shop_workbooks_have_no_fault_the_validator_misses() -> None:
    """Costings and the books to fill in; their drop-downs use more functions."""
    found = {name: faults(data, any_function=True) for name, data in shop_workbooks().items()}
    assert {name: what for name, what in found.items() if what} == {}


def test_live_quotes_are_among_them() -> None:
    """With formulas by the hundred, charts, ticks and names; else a clean answer says little of them."""
    live = {name: customer_quotes()[name] for name, quote in offered_quotes().items() if quote.live}
    formulas = {name: formulas_of(data) for name, data in live.items()}
    assert len(live) >= 12 and max(formulas.values()) > 300 and min(formulas.values()) > 20, formulas
    assert any("xl/charts/chart1.xml" in Parts.of(data).data for data in live.values())


def test_the_lint_has_something_to_look_at() -> None:
    """Workbooks with cells, texts, drop-downs and merged cells; else a clean answer says nothing."""
    seen = dict.fromkeys(("c", "mergeCell", "dataValidation", "definedName"), 0)
    for data in (customer_quotes() | shop_workbooks()).values():
        parts = Parts.of(data)
        for root in (parts.book, *(parts.root(part) for part in parts.sheets.values())):
            for tag in seen:
                seen[tag] += sum(1 for _ in root.iter(MAIN + tag))
    assert min(seen.values()) > 10, seen


def test_two_writings_give_the_same_bytes() -> None:
    """No clock and no chance in a file; the first writing is the one kept for the other tests."""
    first = customer_quotes()
    customer_quotes.cache_clear()
    assert customer_quotes() == first
