"""The Lists sheet of a job as a value: each class finds its own column, and the names find the class."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import Any

import pytest

from quotekit.workbook.job_lists import ClassLists, class_lists, code_lists
from quotekit.workbook.lists_sheet import Block, ListsSheet, lay_out_lists, measure_formula
from tests.workbook.class_shop import class_shop

TYPED = "Job!$B$8"
HANGING = ["list_Findings", "list_Sides", "list_Extras", "list_Remedies_Extras_Operations"]


def laid_out(**values: Any) -> ListsSheet:
    book = class_shop(**values)
    return lay_out_lists(code_lists(book), class_lists(book), TYPED)


def cells(sheet: ListsSheet) -> dict[tuple[int, int], str | int]:
    """Every entry by its row and column, from 0."""
    return {
        (2 + row, block.left + shift): entry
        for block in sheet.blocks
        for row, entries in enumerate(block.rows)
        for shift, entry in enumerate(entries)
    }


def by_table(sheet: ListsSheet, typed: str, name: str) -> list[str | int]:
    """What a name offers once a class is typed, followed through the table as its formula does."""
    table = sheet.blocks[-1]
    row = next((row for row in table.rows if str(row[0]).upper() == typed.upper()), table.rows[0])
    assert table.rows.index(row) == row[1]
    column, entries = row[2 + 2 * HANGING.index(name) :][:2]
    there = cells(sheet)
    return [there.get((2 + number, int(column)), "") for number in range(int(entries))]


@pytest.mark.parametrize("lists", class_lists(class_shop()), ids=lambda each: str(each.code))
def test_the_table_leads_to_the_entries_of_each_class(lists: ClassLists) -> None:
    sheet = laid_out()
    for typed in lists.typed:
        for name in HANGING:
            assert by_table(sheet, typed, name) == list(lists.offered[name] or ("",)), (typed, name)


def test_blank_and_unknown_lead_to_the_whole_list() -> None:
    sheet = laid_out()
    for each in code_lists(class_shop()):
        if each.name in HANGING:
            assert by_table(sheet, "nothing like it", each.name) == list(each.codes)


def test_the_names_take_from_the_table() -> None:
    """Each name is a formula over one table; the class is looked for once."""
    sheet = laid_out()
    names = dict(sheet.names)
    assert names["machine_class_row"].startswith("=SUMPRODUCT((SUBSTITUTE(UPPER(Lists!$")
    assert TYPED in names["machine_class_row"]
    for name in HANGING:
        assert re.fullmatch(
            r"=OFFSET\(Lists!\$A\$3,0,(INDEX\(Lists!\$[A-Z]+\$3:\$[A-Z]+\$9,machine_class_row\),){2}1\)", names[name]
        ), names[name]
    assert re.fullmatch(r"=Lists!\$A\$3:\$A\$5", names["list_Machines"])


def test_classes_with_the_same_entries_share_a_column() -> None:
    """An owner's book of twenty classes is not written twenty times over."""
    book = class_shop(extras=[])
    columns = [
        block
        for block in lay_out_lists(code_lists(book), class_lists(book), TYPED).blocks
        if "for " in block.headers[0]
    ]
    assert [block.title for block in columns].count("Extras") == 0
    three = lay_out_lists(code_lists(class_shop(findings=[])), class_lists(class_shop(findings=[])), TYPED)
    findings = [block.headers for block in three.blocks if block.title == "Findings" and "for " in block.headers[0]]
    assert findings == [("for BLOWER and 2 more",)]


def test_without_a_class_or_a_place_to_type_it_every_list_is_whole() -> None:
    lists = code_lists(class_shop())
    assert lay_out_lists(lists, class_lists(class_shop())) == lay_out_lists(lists, (), TYPED)
    assert "machine_class_row" not in lay_out_lists(lists).names
    assert lay_out_lists(lists).names["list_Findings"].startswith("=Lists!$")


def test_no_two_blocks_overlap() -> None:
    blocks: tuple[Block, ...] = laid_out().blocks
    for block, following in pairwise(blocks):
        assert following.left == block.left + len(block.headers) + 1


def test_only_whole_lists_are_printed() -> None:
    """Who prints the lists wants codes with their words once, not what the drop-downs look up."""
    sheet = laid_out()
    assert [block.title for block in sheet.blocks[: sheet.printed]] == [
        ", ".join(each.sheets) for each in code_lists(class_shop())
    ]
    assert len(sheet.blocks) > sheet.printed


def test_what_to_measure_looks_in_every_finding_whatever_the_class() -> None:
    """A finding of another class is told by the reader; its measure is shown all the same."""
    sheet = laid_out()
    there, codes = cells(sheet), sheet.names["all_findings"]
    assert codes == "=Lists!$E$3:$E$6" and sheet.names["measure_of_findings"] == "=Lists!$I$3:$I$6"
    assert [there[2 + row, 8] for row in range(4)] == [
        "Bore (in): not above 0.770",
        "Play (mm)",
        "Bolts loose (by eye)",
        "Say what in Note, give a Severity",
    ]
    assert "measure_of_findings" in measure_formula("A3") and "all_findings" in measure_formula("A3")
