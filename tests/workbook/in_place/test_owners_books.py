"""The owner's example workbooks through the whole door: changed in place, then read as a quote reads them."""

from __future__ import annotations

import shutil
from datetime import date
from decimal import Decimal
from hashlib import sha256
from pathlib import Path

import pytest

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.put_in_place import put_in_place, undo
from quotekit.workbook.read_shop_book import read_shop_book
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import edited, part_of

EXAMPLES = Path(__file__).parents[3] / "examples"
D = Decimal
NAME = "=1+1 & <new> _x0041_"


@pytest.mark.parametrize("example", ["tiny example", "worked example"])
def test_a_cost_of_the_shop_book(example: str, tmp_path: Path) -> None:
    """The new cost and name are read, everything else is read as before, and undo brings the file back."""
    path = tmp_path / "shop book.xlsx"
    shutil.copy(EXAMPLES / example / path.name, path)
    before, _ = read_shop_book(path)
    assert before is not None
    part = next(iter(before.parts.values()))
    cost, words = part.source.place("Pack cost"), part.source.place("Part")
    changes = [Change(cost.sheet, cost.cell, part.pack_cost + D("1.25")), Change(words.sheet, words.cell, NAME)]
    found = sha256(path.read_bytes()).hexdigest()
    record, problems = put_in_place(path, changes, expected_sha256=found, day=date(2026, 11, 28))
    assert record is not None and problems == []
    after, told = read_shop_book(path)
    assert after is not None and not [one for one in told if one.severity == "error"]
    new = after.parts[part.code]
    assert (new.pack_cost, new.part) == (part.pack_cost + D("1.25"), NAME)
    assert {code: one for code, one in after.parts.items() if code != part.code} == {
        code: one for code, one in before.parts.items() if code != part.code
    }
    assert after.operations == before.operations and after.remedies == before.remedies
    back, _ = undo(path, record, day=date(2026, 11, 28))
    assert back is not None and sha256(path.read_bytes()).hexdigest() == found


def test_strict_open_xml() -> None:
    """The other spelling of the format: the new cell is written in the sheet's own namespace."""
    strict = {
        name: str(part).replace(raw.MAIN, raw.STRICT_MAIN).replace(raw.RELATIONS, raw.STRICT_RELATIONS)
        for name, part in raw.parts('<row r="1"><c r="A1"><v>1</v></c></row>').items()
    }
    found = edited(raw.packed(strict), {"A1": D("2.5"), "B1": "x"})
    assert '<c r="A1"><v>2.5</v></c><c r="B1" t="inlineStr">' in part_of(found.data)
