"""Whatever cells change, each figure that moves has a cause among them, and one changed cell is the whole cause."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from quotekit.cli.compare_priced import PricedPair, Typed, priced_pair, quote_figures
from quotekit.pricing.compare import figures_that_moved
from quotekit.workbook.read_job import JobRows
from quotekit.workbook.rows import Row
from tests.cli.small_shop import Sheets, job, shop_book
from tests.workbook.typed import book_file, job_file, typed_book, typed_job

CELLS: tuple[tuple[str, int, str], ...] = (
    ("Labour rates", 0, "rate_per_hour"),
    ("Labour rates", 0, "cost_per_hour"),
    ("Operations", 0, "net_hours"),
    ("Operations", 1, "net_hours"),
    ("Operations", 3, "net_hours"),
    ("Parts", 0, "pack_cost"),
    ("Parts", 0, "pack_quantity"),
    ("Parts", 1, "pack_cost"),
    ("Parts", 2, "pack_cost"),
    ("Markup", 0, "markup"),
    ("Markup", 1, "markup"),
    ("Findings", 0, "limit"),
    ("Remedies", 1, "life_years"),
    ("Remedies", 2, "life_years"),
    ("Taxes", 0, "rate"),
    ("Fees", 0, "amount"),
    ("Access", 0, "hours_to_open"),
    ("Suppliers", 0, "freight"),
    ("Offers", 0, "pack_cost"),
    ("job Findings", 0, "measured"),
    ("job One-off", 0, "unit_price"),
)
"""Sheet, row and record field of cells that may change."""

IDLE = [("Parts", 2, "pack_cost"), ("Markup", 1, "markup"), ("Offers", 0, "pack_cost")]
"""A part that the job does not use, a band that no part is in, and offers, which matter when parts are ordered."""

TIMES = ("0.5", "0.9", "1.02", "1.5", "3")


def a_book() -> Sheets:
    """The small shop with access, supplies up to a cap, freight, a fee and a second way to mend the belt."""
    book = shop_book()
    book["Shop"] += [
        ["Supplies percent of labour", "5%"], ["Supplies cap", 6], ["Freight to customer", "this job alone"],
    ]  # fmt: skip
    book["Operations"][0].append("Access")
    for row in book["Operations"][1:]:
        row.append("COVER")
    book["Operations"].append(["MENDING", "Mend the belt", 0.3, "No", None, None])
    book["Remedies"].append(["MENDBELT", "Mended belt", "repair", "FRAYED", "MENDING", 2])
    return {
        **book,
        "Access": [["Code", "Step", "Hours to open", "Hours to close"], ["COVER", "Cover off", 0.2, 0.3]],
        "Suppliers": [["Code", "Supplier", "Freight", "Free freight from"], ["NORTH", "Northside", 9, 40]],
        "Parts": [[*row[:4], "NORTH" if at else "Supplier"] for at, row in enumerate(book["Parts"])],
        "Offers": [["Part", "Supplier", "Pack quantity", "Pack cost"], ["SEAL", "NORTH", 5, 9]],
        "Fees": [["Code", "Fee", "Amount", "Applies to"], ["DISPOSAL", "Disposal", 3, "always"]],
    }


def a_job() -> Sheets:
    lines = [["Line", "Kind", "Quantity", "Unit price"], ["Towing", "charge", 1, 60]]
    return {**job(), "One-off": [*map(list, lines)]}


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> Typed:
    folder: Path = tmp_path_factory.mktemp("causes")
    return Typed(
        book=typed_book(book_file(folder, "book", None, a_book())),
        job=typed_job(job_file(folder, "job", None, a_job())),
    )


def with_changes(typed: Typed, changes: dict[tuple[str, int, str], str]) -> Typed:
    """What is typed with some numbers multiplied."""
    book, job = dict(typed.book.rows), dict(typed.job.rows.by_sheet)
    for (sheet, row, field), times in changes.items():
        of_job = sheet.startswith("job ")
        rows, name = (job, sheet[4:]) if of_job else (book, sheet)
        rows[name] = [_times(one, field, times) if at == row else one for at, one in enumerate(rows[name])]
    return Typed(
        book=replace(typed.book, rows=book),
        job=replace(typed.job, rows=JobRows(by_sheet=job)),
    )


def _times(row: Row, field: str, times: str) -> Row:
    return row.with_values({**row.values, field: (row.values[field] * Decimal(times)).quantize(Decimal("0.0001"))})


def pair_of(typed: Typed, changes: dict[tuple[str, int, str], str]) -> PricedPair | None:
    """Before and after; None where the mixture can't be priced."""
    return priced_pair(typed, with_changes(typed, changes))[0]


some_changes = st.dictionaries(st.sampled_from(CELLS), st.sampled_from(TIMES), min_size=1, max_size=4)
one_change = st.dictionaries(st.sampled_from(CELLS), st.sampled_from(TIMES), min_size=1, max_size=1)


@settings(max_examples=8)
@given(changes=some_changes)
def test_each_figure_that_moved_has_a_cause(typed: Typed, changes: dict[tuple[str, int, str], str]) -> None:
    """And one whose explanation names no changed cell did not move."""
    pair = pair_of(typed, changes)
    if pair is None:
        return
    moved = pair.moved()
    known = set(pair.cells)
    for one in moved:
        assert one.because and set(one.because) <= known
        assert set(one.alone) <= {cell.place for cell in one.because}
        if one.difference is not None:
            told = sum((share for share in one.alone.values() if share is not None), Decimal(0))
            assert one.together is not None and told + one.together == one.difference
    assert {one.name for one in moved} == {one.name for one in figures_that_moved(*map(quote_figures, pair.quotes))}
    for name in {one.name for one in moved}:
        assert any(pair.names(name, cell) for cell in pair.cells), name


@settings(max_examples=8)
@given(changes=one_change)
def test_one_changed_cell_is_the_whole_cause(typed: Typed, changes: dict[tuple[str, int, str], str]) -> None:
    pair = pair_of(typed, changes)
    if pair is None:
        return
    for one in pair.moved():
        (cell,) = one.because
        assert one.alone == {cell.place: one.difference}
        assert one.together in (None, Decimal(0))


def test_the_small_shop_moves_when_its_cells_do(typed: Typed) -> None:
    """Most cells move something, else the two tests above would hold of nothing."""
    still = [cell for cell in CELLS if not _moved(typed, cell)]
    assert still == IDLE


def _moved(typed: Typed, cell: tuple[str, int, str]) -> bool:
    pairs = [pair_of(typed, {cell: times}) for times in ("0.5", "3")]
    return any(pair is not None and figures_that_moved(*map(quote_figures, pair.quotes)) for pair in pairs)


def test_another_file_with_the_same_cells_moves_nothing(typed: Typed) -> None:
    pair = pair_of(typed, {})
    assert pair is not None and pair.cells == () and pair.moved() == []
