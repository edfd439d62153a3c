"""Two costings without their books: which inputs differ, and which figures hang on them as far as the files say."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotekit.cli.compare_costings import causes_in_costings, changed_inputs
from quotekit.documents.costing_input_line import InputLine
from quotekit.model.comparison import FigureName, MovedFigure
from quotekit.problems import Place
from quotekit.workbook.read_costing import ReadCosting

Lines = Sequence[tuple[str, str, str, str]]


def costing(lines: Lines = (), cells: Mapping[str, str] | None = None, file: str = "new.xlsx") -> ReadCosting:
    """A costing of job 117 with these inputs, and the cells behind figures of the tier good."""
    return ReadCosting(
        file=file,
        job="117",
        version="1",
        figures={},
        inputs=tuple(InputLine(*line) for line in lines),
        cells={name(figure): frozenset(named.split("; ")) for figure, named in (cells or {}).items()},
        job_file="job.xlsx",
        book_file="prices.xlsx",
    )


def name(figure: str, tier: str = "good", job: str = "117") -> FigureName:
    return FigureName(job, tier, figure)


def moved(*figures: FigureName) -> list[MovedFigure]:
    return [MovedFigure(name=figure, old="1.00", new="2.00") for figure in figures]


def told(old: Lines, new: Lines) -> list[str]:
    """Each changed cell: what, as it was, as it is, where it is."""
    cells, _ = changed_inputs(costing(old), costing(new))
    return [f"{cell.what}: {cell.old} > {cell.new}, {cell.place}" for cell in cells]


RATE = ("Labour rate MAIN", "Rate per hour", "90", "Labour rates!C2")
DEARER = ("Labour rate MAIN", "Rate per hour", "96", "Labour rates!C2")
NAMED = ("Labour rate MAIN", "Name", "Bench", "Labour rates!B2")
STEP = ("Shop", "Hours step", "0.1", "default")
OWN_STEP = ("Shop", "Hours step", "0.25", "Shop!B4")
MEASURED = ("Bushing worn (WORN@left)", "Measured", "0.761 in", "job Findings!C2")


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ([RATE], [RATE], []),
        ([RATE], [DEARER], ["Rate per hour of Labour rate MAIN: 90 > 96, prices.xlsx:Labour rates!C2"]),
        ([RATE], [(*RATE[:3], "Labour rates!C9")], []),
        ([RATE, NAMED], [RATE], ["Name of Labour rate MAIN: Bench > None, prices.xlsx:Labour rates!B2 (before)"]),
        ([RATE], [RATE, NAMED], ["Name of Labour rate MAIN: None > Bench, prices.xlsx:Labour rates!B2"]),
        ([STEP], [OWN_STEP], ["Hours step: 0.1 > 0.25, prices.xlsx:Shop!B4"]),
        ([OWN_STEP], [STEP], ["Hours step: 0.25 > 0.1, prices.xlsx:Shop!B4 (before)"]),
        (
            [("Job", "Customer", "A", "job Job!B3")],
            [("Job", "Customer", "B", "job Job!B3")],
            ["Customer: A > B, job.xlsx:Job!B3"],
        ),
        ([RATE], [RATE, MEASURED], ["Measured of Bushing worn (WORN@left): None > 0.761 in, job.xlsx:Findings!C2"]),
        ([RATE, STEP], [STEP, RATE], []),
    ],
    ids=[
        "the same", "a value", "the same value in another cell", "a cell emptied", "a cell filled",
        "a default that the shop set", "a setting taken out", "of the job: its name needs no saying",
        "a row of the job that came", "the order of the rows",
    ],
)  # fmt: skip
def test_an_input_that_differs(old: Lines, new: Lines, expected: list[str]) -> None:
    """By what it belongs to and its column: rows that were moved about are no change."""
    assert told(old, new) == expected


def test_a_row_of_the_book_in_one_costing_only_is_counted_and_not_called_changed() -> None:
    """A costing lists the rows that were used: one that is missing was not used, whether or not it changed."""
    part = [("Belt (BELT)", column, "1", f"Parts!{letter}3") for column, letter in (("Pack cost", "D"), ("Lead", "E"))]
    cells, notes = changed_inputs(costing([RATE]), costing([RATE, *part]))
    assert cells == ()
    assert "2 inputs stand in one of the two costings only" in notes[-1]
    assert changed_inputs(costing([RATE, *part]), costing([RATE]))[1][-1] == notes[-1]
    assert len(changed_inputs(costing([RATE]), costing([DEARER]))[1]) == 1


def test_two_inputs_of_one_name_are_told_apart_by_their_order() -> None:
    """Two bands of markup, or two rows for one part, read alike."""
    bands = [("Markup", "Markup", share, f"Markup!C{row}") for row, share in enumerate(("50 %", "40 %"), 2)]
    changed = [bands[0], (*bands[1][:2], "35 %", bands[1][3])]
    assert told(bands, changed) == ["Markup of Markup: 40 % > 35 %, prices.xlsx:Markup!C3"]
    assert told(bands, bands) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ({}, {}, "A costing without the sheet `Every number`"),
        ({"total": "Shop!B2"}, {}, "A costing without the sheet `Every number`"),
        ({}, {"total": "Shop!B2"}, "A costing without the sheet `Every number`"),
        ({"total": "Shop!B2"}, {"total": "Shop!B2"}, "The costings name the cells that each figure is worked out from"),
    ],
)
def test_what_the_costings_cannot_tell_is_said(old: dict[str, str], new: dict[str, str], said: str) -> None:
    """An older costing names no cells, and one of now names no cells that decide what is done."""
    _, notes = changed_inputs(costing(cells=old), costing(cells=new))
    assert len(notes) == 1 and notes[0].startswith(said) and notes[0].endswith(".")


def because(figures: Sequence[FigureName], old: ReadCosting, new: ReadCosting) -> dict[FigureName, list[str]]:
    """The cells behind each figure, by their sheet and address."""
    cells, _ = changed_inputs(old, new)
    found = causes_in_costings(moved(*figures), cells, (old, new))
    return {one.name: [f"{(c.place_new or c.place_old)!s}".partition(":")[2] for c in one.because] for one in found}


def test_a_figure_hangs_on_the_cells_that_either_costing_names_behind_it() -> None:
    """A cell that only the old one names counts too: the figure may no longer hang on it because it changed."""
    behind = {"amounts.labour": "Labour rates!C2"}
    for old, new in ((behind, {"total": "Shop!B2"}), ({"total": "Shop!B2"}, behind), (behind, behind)):
        named = because([name("amounts.labour"), name("amounts.parts")], costing([RATE], old), costing([DEARER], new))
        assert named == {name("amounts.labour"): ["Labour rates!C2"], name("amounts.parts"): []}


def test_a_cell_of_the_job_is_not_the_cell_of_the_book_at_the_same_address() -> None:
    was, now = (("Job", "Customer", word, "job Shop!B2") for word in ("A", "B"))
    for cell, found in (("Shop!B2", []), ("job Shop!B2", ["Shop!B2"])):
        old, new = costing([was], {"total": cell}), costing([now], {"total": cell})
        assert because([name("total")], old, new) == {name("total"): found}


@pytest.mark.parametrize(
    ("part", "whole", "goes_in"),
    [
        ("hours.billed.MAIN", "amounts.labour", True),
        ("parts.SEAL.amount", "amounts.parts", True),
        ("parts.SEAL.unit_price", "parts.SEAL.amount", True),
        ("parts.SEAL.unit_price", "parts.BELT.amount", False),
        ("amounts.labour", "amounts.supplies", True),
        ("amounts.parts", "amounts.supplies", False),
        ("hours.billed.MAIN", "amounts.supplies", True),
        ("bundles.KIT.saving", "amounts.savings", True),
        ("parts.SEAL.amount", "deposit", True),
        ("amounts.labour", "deposit", False),
        ("amounts.fees", "taxes.State.base", True),
        ("taxes.State.amount", "tax", True),
        ("amounts.labour", "work", True),
        ("taxes.State.amount", "total", True),
        ("hours.billed.MAIN", "due", True),
        ("bundles.KIT.saving", "subtotal", True),
        ("total", "amounts.labour", False),
        ("work", "total", False),
        ("ready_days", "total", False),
        ("hours.billed.MAIN", "ready_days", False),
    ],
)
def test_what_goes_into_a_figure_brings_its_cells(part: str, whole: str, goes_in: bool) -> None:
    """A costing names the cells of a figure down to the next one alone: the rate is behind labour, not the total."""
    old, new = (costing([line], {part: "Labour rates!C2"}) for line in (RATE, DEARER))
    found = because([name(part), name(whole)], old, new)
    assert found == {name(part): ["Labour rates!C2"], name(whole): ["Labour rates!C2"] if goes_in else []}


@pytest.mark.parametrize("whole", [name("total", tier="better"), name("total", job="118")])
def test_nothing_goes_into_the_total_of_another_option_or_job(whole: FigureName) -> None:
    old, new = (costing([line], {"amounts.labour": "Labour rates!C2"}) for line in (RATE, DEARER))
    assert because([name("amounts.labour"), whole], old, new)[whole] == []


def test_a_figure_inside_another_hangs_on_the_cells_of_the_nearest_that_is_named() -> None:
    """`items.BUSH.price` is not told by itself: what it is part of is."""
    cells = {"items.BUSH": "Labour rates!C2", "items": "Shop!B2"}
    old, new = costing([RATE, STEP], cells), costing([DEARER, OWN_STEP], cells)
    found = because([name("items.BUSH.price"), name("items.SEAL.price")], old, new)
    assert found == {name("items.BUSH.price"): ["Labour rates!C2"], name("items.SEAL.price"): []}


def test_a_cell_named_by_the_figure_and_by_what_goes_into_it_is_told_once() -> None:
    cells = {"amounts.labour": "Labour rates!C2", "hours.billed.MAIN": "Labour rates!C2"}
    figures = [name("hours.billed.MAIN"), name("amounts.labour")]
    found = because(figures, costing([RATE], cells), costing([DEARER], cells))
    assert found[name("amounts.labour")] == ["Labour rates!C2"]


_INPUTS = st.lists(
    st.tuples(st.sampled_from(["Shop", "Job", "A", "B"]), st.sampled_from(["x", "y"]), st.sampled_from("123"),
              st.sampled_from(["Shop!B2", "job Job!B2", "default"])),
    max_size=6,
)  # fmt: skip


@given(old=_INPUTS, new=_INPUTS)
def test_what_came_one_way_goes_the_other(old: Lines, new: Lines) -> None:
    """Compared the other way about, the same cells differ, each with old and new exchanged."""
    forth = {(cell.what, cell.old, cell.new) for cell in changed_inputs(costing(old), costing(new))[0]}
    back = {(cell.what, cell.new, cell.old) for cell in changed_inputs(costing(new), costing(old))[0]}
    assert forth == back
    assert changed_inputs(costing(old), costing(old))[0] == ()


def test_the_place_of_a_cell_of_the_job_and_of_the_book() -> None:
    one = costing()
    assert one.place("job Job!B8") == Place("job.xlsx", "Job", "B8")
    assert one.place("Parts!D14") == Place("prices.xlsx", "Parts", "D14")
    assert one.place("default") is None
