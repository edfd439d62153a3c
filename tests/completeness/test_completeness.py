"""An explanation is complete: a cell it does not name may change to anything, and the figure stays.

A few hundred changes here; `python -m tests.completeness.many` makes thousands.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest

from quotekit.problems import Place
from tests.completeness.cases import example_files, random_workbooks
from tests.completeness.cells_to_change import BOOK, JOB_FILE, Spot, Workbooks
from tests.completeness.changes import Explained, Tally, explained, figures_of, moved, report, try_change
from tests.completeness.figures import figures_of_job, figures_of_tier
from tests.completeness.many import change_some
from tests.completeness.other_values import OtherValues, every_header
from tests.completeness.through_files import change_files

SEEDS = range(5)


@pytest.fixture(scope="module")
def tiny() -> Explained:
    book, job = next(files for files in example_files() if files[1].parent.name == "tiny example")
    case = explained(Workbooks.read(book, job))
    assert case is not None
    return case


def test_no_figure_of_the_tiny_example_moves_for_a_cell_it_does_not_name(tiny: Explained) -> None:
    tally = Tally()
    change_some(tiny, Random(5), 60, tally)
    assert tally.surprises == []
    assert tally.valid > 30 and tally.moved > 20, "changes that move nothing prove nothing"


@pytest.mark.parametrize("seed", SEEDS)
def test_no_figure_of_a_random_job_moves_for_a_cell_it_does_not_name(seed: int, tmp_path: Path) -> None:
    case = explained(random_workbooks(seed, tmp_path))
    if case is None:
        pytest.skip("a book or job that is refused")
    tally = Tally()
    change_some(case, Random(seed), 20, tally)
    assert tally.surprises == []


def test_cells_changed_in_the_files_read_as_those_changed_in_memory(tiny: Explained, tmp_path: Path) -> None:
    files = next(files for files in example_files() if files[1].parent.name == "tiny example")
    tally = Tally()
    assert change_files(tiny, files, tmp_path, Random(7), 12, tally) == 0
    assert tally.surprises == [] and tally.valid >= 6


def test_a_cell_left_out_of_an_explanation_is_found(tiny: Explained) -> None:
    """The property can fail: each moving cell, taken out of what its figures name, is a surprise."""
    spot, value = spot_of(tiny, "Labour rates", "Rate per hour"), Decimal("77.77")
    blind = Explained.__new__(Explained)
    blind.workbooks, blind.figures, blind.cells = tiny.workbooks, tiny.figures, tiny.cells
    blind.places = {figure: places - {spot.place} for figure, places in tiny.places.items()}
    tally = Tally()
    found = try_change(blind, spot, value, False, tally)
    assert any("total" in line for line in found) and tally.surprises == found
    assert try_change(tiny, spot, value, False, Tally()) == []


@pytest.mark.parametrize(
    ("sheet", "header", "value", "figure"),
    [
        ("Labour rates", "Rate per hour", Decimal("77.77"), "amounts.labour"),
        ("Shop", "Value", Decimal(9), "hours.minimum_added"),
        ("Operations", "Net hours", Decimal("3.3"), "hours.net"),
        ("Parts", "Pack cost", Decimal("99.5"), "cash_for_parts"),
    ],
)
def test_a_cell_that_moves_a_figure_is_named_by_it(
    tiny: Explained, sheet: str, header: str, value: Decimal, figure: str
) -> None:
    """By hand: of all cells of a column, one at least moves the figure, and the figure names it."""
    movers = []
    for spot in tiny.workbooks.spots():
        if spot.sheet == sheet and spot.header == header and spot.file == BOOK:
            records = tiny.workbooks.with_cell(spot, value).records()
            now = figures_of(records) if records is not None else None
            if now is not None and ("good", figure) in moved(tiny.figures, now):
                movers.append(spot.place)
    assert movers
    assert all(tiny.names(("good", figure), place) for place in movers)


def test_what_a_figure_does_not_hang_on_is_not_named(tiny: Explained) -> None:
    """Naming everything would be complete and tell nothing."""
    days = tiny.places["", "valid_until"]
    assert {place.sheet for place in days} == {"Shop", "Job"} and len(days) <= 30
    every = {spot.place for spot in tiny.workbooks.spots()}
    for figure in ("total", "amounts.labour", "hours.access"):
        assert len(tiny.places["good", figure]) < 0.7 * len(every), figure


@pytest.mark.parametrize("seed", (0, 2))
def test_the_trees_name_every_cell_of_their_figures(seed: int, tmp_path: Path) -> None:
    """What is printed, tree and conditions together, names no cell less than the figure reads."""
    case = explained(random_workbooks(seed, tmp_path))
    assert case is not None
    known = [(tier, name) for tier, name in case.figures if name in case.cells[tier] and name in case.trees[tier]]
    assert len(known) > 60
    for tier, name in known:
        assert case.cells[tier].all_of(name) <= case.places[tier, name], name


def spot_of(case: Explained, sheet: str, header: str) -> Spot:
    """The first cell of a column."""
    return next(spot for spot in case.workbooks.spots() if (spot.sheet, spot.header) == (sheet, header))


def test_spots_are_cells_of_known_columns_blank_ones_too(tiny: Explained) -> None:
    spots = tiny.workbooks.spots()
    assert {(spot.sheet, spot.header) for spot in spots} <= every_header()
    assert any(spot.held is None for spot in spots) and {spot.file for spot in spots} == {BOOK, JOB_FILE}
    assert len({(spot.file, spot.place) for spot in spots}) == len(spots)


def test_a_cell_is_changed_and_emptied_and_nothing_else(tiny: Explained) -> None:
    spot = spot_of(tiny, "Parts", "Pack cost")
    changed = tiny.workbooks.with_cell(spot, Decimal("1.23"))
    assert spot_of_again(changed, spot.place) == ("1.23", None)
    assert spot_of_again(changed.with_cell(spot, None), spot.place) == (None, None)
    others = [one.held for one in changed.spots() if one.place != spot.place]
    assert others == [one.held for one in tiny.workbooks.spots() if one.place != spot.place]


def spot_of_again(workbooks: Workbooks, place: Place) -> tuple[str | None, None]:
    """What stands in a cell now."""
    spot = next(one for one in workbooks.spots() if one.place == place)
    return (spot.held.text if spot.held is not None else None), None


def test_other_values_are_other_and_of_many_kinds(tiny: Explained) -> None:
    values = OtherValues(tiny.workbooks, Random(1))
    drawn = [(spot, values.draw(spot)) for spot in tiny.workbooks.spots()]
    kinds = {type(value[0]) for _, value in drawn if value is not None}
    assert {str, Decimal, type(None)} <= kinds and kinds <= {str, Decimal, type(None), date}
    for spot, value in drawn:
        assert value is None or spot.held is None or value[0] != spot.held.value


def test_figures_by_name() -> None:
    tier = {"total": "1.00", "hours": {"billed": {"MAIN": "2"}}, "taxes": [{"tax": "State", "base": "1"}], "parts": []}
    assert figures_of_tier(tier) == {"total": "1.00", "hours.billed.MAIN": "2", "taxes.State.base": "1", "parts": []}
    quote = {"job": "1", "declined": {"tax": "0"}, "tiers": [tier], "book_sha256": "x", "not_permitted": [{"why": "x"}]}
    assert figures_of_job(quote) == {"job": "1", "declined.tax": "0", "not_permitted": [{"why": "x"}]}


def test_a_figure_that_is_gone_has_moved() -> None:
    old = {("good", "a"): 1, ("good", "b"): 2, ("good", "c"): 3}
    assert moved(old, {("good", "a"): 1, ("good", "b"): 5}) == [("good", "b"), ("good", "c")]


def test_the_report_gives_one_number_a_line() -> None:
    tally = Tally(tried=10, valid=8, compared=80, moved=4, changed_named=20, moved_named=4)
    tally.by_column["Parts", "Pack cost"] = 2
    lines = list(report(tally))
    assert "changes tried                10" in lines and any(line.endswith("20.0%") for line in lines)
    assert lines[-1].strip() == "Parts / Pack cost: 2"
