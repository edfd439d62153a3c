"""The sides of each machine class in a shop book: live lists that the sheet Parts used offers by its machine."""

from __future__ import annotations

from io import BytesIO
from typing import Any

import openpyxl
import pytest

from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import MACHINES, PARTS_USED
from quotekit.workbook.input_sheet import InputSheet, table_sheet
from quotekit.workbook.lists_sheet import LISTS
from quotekit.workbook.side_lists import SPARE_CLASSES, classes_in, side_lists, side_names, with_sides
from quotekit.workbook.write_blank import shop_book_bytes

CLASSES = (
    {"Code": "BLOWER", "Machine class": "Snow thrower", "Positions": ""},
    {"Code": "TANDEM", "Machine class": "Trailer", "Positions": "left front; left  rear ;right front"},
    {"Code": "TILLER", "Machine class": "Tiller", "Positions": "tines"},
)


def sheets(*rows: dict[str, str], of: tuple[SheetColumns, ...] = (MACHINES, PARTS_USED)) -> list[InputSheet]:
    return [table_sheet(each, rows if each is MACHINES else ()) for each in of]


def column(number: int, *rows: dict[str, str]) -> list[Any]:
    """What a column of the lists shows from its sides on."""
    cells = side_lists(sheets(*rows))
    return [cell.value for cell in cells if cell.column == number and cell.row >= 5]


@pytest.mark.parametrize(
    ("number", "sides"),
    [
        (1, ["left", "right", "both", "all"]),
        (2, ["left front", "left rear", "right front", "all"]),
        (3, ["tines", "all"]),
        (4, []),
        (0, ["left", "right", "left front", "left rear", "right front", "tines", "both", "all"]),
    ],
    ids=["blank positions are left and right", "three", "one", "a class still to come", "any class"],
)
def test_each_class_has_its_sides(number: int, sides: list[str]) -> None:
    assert [side for side in column(number, *CLASSES) if side] == sides


def test_no_class_yet_offers_left_and_right() -> None:
    """The blank shop book: until Machines has a row, a machine is free text with left and right."""
    assert [side for side in column(0) if side] == ["left", "right", "both", "all"]


def test_there_is_room_for_classes_to_come() -> None:
    assert classes_in(side_lists(sheets(*CLASSES))) == 3 + SPARE_CLASSES
    assert set(side_names(28)) == {"side_first", "side_codes", "side_counts"}
    assert side_names(28)["side_codes"] == "=Lists!$B$2:$AC$2"


@pytest.mark.parametrize("of", [(MACHINES,), (PARTS_USED,), ()], ids=["no parts used", "no machines", "neither"])
def test_nothing_is_written_where_no_row_names_both(of: tuple[SheetColumns, ...]) -> None:
    assert side_lists(sheets(*CLASSES, of=of)) == []


def test_no_cell_hangs_on_a_single_row_of_machines() -> None:
    """An owner deletes rows: an address of a row that is gone would break the list of every class."""
    for cell in side_lists(sheets(*CLASSES)):
        rest = cell.formula.replace("Machines!$A$1:$A$2000", "").replace("Machines!$C$1:$C$2000", "")
        assert "Machines!" not in rest


def test_the_side_of_a_row_follows_its_machine() -> None:
    """The machine stands in column E, and the rule is told for the first row."""
    (sheet,) = (with_sides(each, live=True) for each in sheets(of=(PARTS_USED,)))
    assert str(sheet.sources["Side"]).startswith('=OFFSET(side_first,0,IF($E3="",0,')
    assert len(str(sheet.sources["Side"])) <= 255
    used = table_sheet(PARTS_USED, ({"Used by": "A", "Part": "P", "Quantity": "1", "Side": "left"},), only_used=True)
    assert with_sides(used, live=True).sources["Side"] == "=OFFSET(side_first,0,0,INDEX(side_counts,1,1),1)"


def test_without_machines_the_words_themselves_are_offered() -> None:
    (sheet,) = (with_sides(each, live=False) for each in sheets(of=(PARTS_USED,)))
    assert sheet.sources["Side"] == ["left", "right", "both", "all"]
    (machines,) = (with_sides(each, live=False) for each in sheets(of=(MACHINES,)))
    assert machines.sources == {}


def test_the_written_cells_are_formulas_with_their_values() -> None:
    """Whoever opens the book without working it out sees the lists all the same."""
    rows = {"Machines": CLASSES, "Parts used": ()}
    data = shop_book_bytes(rows)
    shown = openpyxl.load_workbook(BytesIO(data), data_only=True)[LISTS]
    formulas = openpyxl.load_workbook(BytesIO(data))[LISTS]
    assert [shown.cell(row, 2).value for row in (2, 3, 4, 5, 6, 7)] == ["BLOWER", 2, 4, "left; right", "left", "right"]
    assert [shown.cell(row, 1).value for row in range(6, 10)] == ["left", "right", "left front", "left rear"]
    cells = [cell for row in formulas.iter_rows(min_row=2, min_col=2) for cell in row if cell.value is not None]
    assert {cell.data_type for cell in cells} == {"f"}
