"""Areas that an owner ticks are left out of the seal, and nobody can add one unseen."""

from __future__ import annotations

import pytest

from quotekit.documents.content_changes import changes_of
from quotekit.documents.fingerprint import TICKS, Area, Content, is_choice, mark_texts, sealed_content
from quotekit.documents.sheet import Cell, NamedRange, Properties, Row, Sheet, WorkbookValue, row, text
from tests.pricing.proposals.rows import DAY

CELLS = {"A": {(1, 1): "tx", (2, 1): "tyes", (3, 2): "n5", (4, 1): "tz"}, "B": {(2, 1): "tb"}}
AREA: Area = ("A", 2, 1, 3, 2)


def sealed(areas: dict[str, Area]) -> Content:
    return sealed_content(CELLS, areas)


def test_every_cell_of_the_area_is_left_out_and_no_other() -> None:
    kept = sealed({f"{TICKS}x": AREA}).sheets
    assert kept == {"A": {(1, 1): "tx", (4, 1): "tz"}, "B": {(2, 1): "tb"}}


def test_the_name_itself_is_sealed() -> None:
    """A larger area would leave more out: it is told by the name."""
    sent = sealed({f"{TICKS}x": AREA})
    now = sealed({f"{TICKS}x": ("A", 1, 1, 4, 2)})
    assert changes_of(now, mark_texts(sent)).names == (f"{TICKS}x",)


def test_an_area_that_somebody_added_is_told() -> None:
    """So in a customer's quote no price can be hidden from the seal by a name."""
    sent = sealed({})
    found = changes_of(sealed({f"{TICKS}mine": AREA}), mark_texts(sent))
    assert found.names == (f"{TICKS}mine",) and not found.same


def test_a_huge_area_costs_nothing() -> None:
    """A million rows by sixteen thousand columns: only cells that are there are looked at."""
    assert sealed({f"{TICKS}x": ("A", 1, 1, 1_048_576, 16_384)}).sheets["A"] == {}


@pytest.mark.parametrize(("name", "expected"), [("ticks_proposals", True), ("tick_x", False), ("extra_A", True)])
def test_which_names_are_ticked_or_chosen(name: str, expected: bool) -> None:
    assert is_choice(name) is expected


def test_a_tick_changes_no_mark() -> None:
    from quotekit.documents.fingerprint import sealed as seal

    def marks(tick: str) -> tuple[object, ...]:
        page = Sheet(name="A", rows=(row(text("Take")), Row(cells=(Cell(content=tick, kind="text"),))), widths=(5,))
        names = (NamedRange(name=f"{TICKS}x", sheet="A", first_row=1, first_column=0, last_row=1, last_column=0),)
        value = seal(WorkbookValue(sheets=(page,), properties=Properties(created=DAY), names=names))
        return tuple(cell.content for line in value.sheets[-1].rows for cell in line.cells)

    assert marks("Yes") == marks("No")
