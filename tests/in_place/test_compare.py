"""The comparer sees what it must: each kind of harm is planted once."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable

import pytest

from tests.in_place import awkward
from tests.in_place.compare import cells_of, collateral, part_names
from tests.in_place.may_change import cells_in, must_refuse
from tests.workbook import raw_workbooks as raw

SHEET = "xl/worksheets/sheet1.xml"
Parts = dict[str, bytes]


def parts_of(data: bytes) -> Parts:
    """Every member."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return {name: package.read(name) for name in package.namelist()}


def packed(parts: Parts) -> bytes:
    """A zip with one time for all, so that two runs are alike."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as package:
        for name, data in parts.items():
            package.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def replaced(old: bytes, new: bytes, part: str = SHEET) -> Callable[[Parts], Parts]:
    """A part with some bytes exchanged once."""

    def change(parts: Parts) -> Parts:
        assert old in parts[part], old
        return parts | {part: parts[part].replace(old, new, 1)}

    return change


def without(name: str) -> Callable[[Parts], Parts]:
    """A workbook that lost a part."""
    return lambda parts: {one: data for one, data in parts.items() if one != name}


HARMS: dict[str, Callable[[Parts], Parts]] = {
    "another cell": replaced(b"<v>3.75</v>", b"<v>3.76</v>"),
    "another style": replaced(b'<c r="B4" s="2">', b'<c r="B4" s="1">'),
    "a formula": replaced(b"<f>B4*Rate</f>", b"<f>B5*Rate</f>"),
    "a stored result": replaced(b"</f><v>7.5</v>", b"</f>"),
    "a row's height": replaced(b'ht="30"', b'ht="31"'),
    "a rule of colours": replaced(b"<cfRule", b"<cfRule x='1'"),
    "an extension": replaced(b"<x14:dataBar", b"<x14:dataBar x='1'"),
    "a width": replaced(b'width="14', b'width="15'),
    "white space": replaced(b"</row>", b"</row> "),
    "quotes": replaced(b'r="B4"', b"r='B4'"),
    "a picture": replaced(b"PNG", b"PNg", "xl/media/image1.png"),
    "a text of others": replaced(b"<t>P-003</t>", b"<t>P-03</t>", "xl/sharedStrings.xml"),
    "the workbook part": replaced(b"<definedName", b"<definedName x='1'", "xl/workbook.xml"),
    "a part that is gone": without("xl/theme/theme1.xml"),
    "another order": lambda parts: dict(reversed(parts.items())),
}


@pytest.mark.parametrize("harm", HARMS)
def test_harm_is_seen(harm: str) -> None:
    parts = parts_of(awkward.everything())
    before, after = packed(parts), packed(HARMS[harm](parts))
    assert collateral(before, packed(parts), {(SHEET, "B3")}, []) == []
    assert collateral(before, after, {(SHEET, "B3")}, []) != []


def test_heads_are_compared() -> None:
    """A member packed in another way, or with another time, is told although its content is the same."""
    before = raw.packed(awkward.by_hand())
    assert collateral(before, raw.packed(awkward.by_hand(), zipfile.ZIP_STORED), [], []) != []
    assert collateral(before, awkward.wide(awkward.by_hand()), [], []) != []


def test_what_may_differ() -> None:
    """The changed cell, a result that was taken away, spans, the used area and the question to be worked out."""
    parts = parts_of(awkward.everything())
    before = packed(parts)
    parts[SHEET] = re.sub(rb'(<c r="B3"[^>]*>)<v>[^<]*</v>', rb"\1<v>77</v>", parts[SHEET])
    parts[SHEET] = parts[SHEET].replace(b"<f>B3*Rate</f><v>5</v>", b"<f>B3*Rate</f>")
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(b' fullCalcOnLoad="1"', b"")
    changed = packed(parts)
    assert collateral(changed, before, {(SHEET, "B3")}, {(SHEET, "C3")}) == []
    assert collateral(before, changed, {(SHEET, "B3")}, []) != []


def test_reading_on_its_own() -> None:
    """Cells without an address are counted from the one before."""
    cells = cells_of(awkward.by_hand()[SHEET])
    assert list(cells)[:4] == ["A1", "B1", "C1", "F1"]
    assert cells["B4"].value == "rich"
    assert part_names(raw.packed(awkward.by_hand())) == {"S": SHEET}


def test_the_judge_of_refusals() -> None:
    """Formulas, arrays, merged cells, pictures in cells, titles and totals of tables."""
    data = awkward.everything()
    names = part_names(data)
    wanted = ["A3", "D1", "D2", "D3", "E1", "E2", "G1", "G2", "H1", "A10", "A14", "J1", "A2", "A11", "C11", "G4", "J2"]
    refused = must_refuse(data, names, [("Sums", cell) for cell in wanted])
    allowed = {"G1", "A2", "A11", "G4", "J2"}
    assert {cell for _, cell in refused} == set(wanted) - allowed
    assert [*cells_in("B2:C3")] == ["B2", "C2", "B3", "C3"]
