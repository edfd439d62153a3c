"""Damaged workbooks: refused in words, or changed; never a fault of ours, and nothing beside is changed."""

from __future__ import annotations

import io
import random
import zipfile
from collections.abc import Iterator
from decimal import Decimal

import pytest

from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.edit_workbook import edit_workbook
from tests.in_place import awkward
from tests.workbook import raw_workbooks as raw

ROUNDS = 150
CHANGES = [Change("Parts", "B3", Decimal("9.5")), Change("Parts", "G2", "x"), Change("Parts", "Z90", True)]
BY_HAND = [Change("S", "A1", Decimal("9.5")), Change("S", "B4", "x"), Change("S", "Z90", True)]
PIECES = (
    b"<",
    b">",
    b'"',
    b"&",
    b"</row>",
    b"<c>",
    b"<row>",
    b'r="A1"',
    b"<f>",
    b"]]>",
    b"<!--",
    b"\xff",
    b"\x00",
    b" ",
)


def tried(data: bytes, changes: list[Change]) -> str:
    """What becomes of the changes; each refusal says something, and what is made is a zip."""
    edited, problems = edit_workbook("book.xlsx", data, changes)
    if edited is None:
        assert problems and all(one.message and one.remedy for one in problems)
        return problems[0].code
    with zipfile.ZipFile(io.BytesIO(edited.data)) as package:
        assert package.namelist()
    return "changed"


@pytest.mark.parametrize("form", ["plain", "wide ending", "described"])
def test_bytes_of_the_zip(form: str) -> None:
    """A few bytes of the file are others."""
    draw = random.Random(form)
    packs = {"plain": raw.packed, "wide ending": awkward.wide_ending, "described": awkward.described}
    whole = packs[form](awkward.by_hand())
    found = set()
    for _ in range(ROUNDS):
        data = bytearray(whole)
        tail = draw.random() < 0.5
        for _ in range(draw.randint(1, 4)):
            data[draw.randrange(len(data) * 2 // 3 if tail else 0, len(data))] = draw.randrange(256)
        found.add(tried(bytes(data), BY_HAND))
    assert {"changed", "broken-workbook"} <= found


@pytest.mark.parametrize("cut", range(0, 2600, 131))
def test_a_file_that_was_cut(cut: int) -> None:
    assert tried(raw.packed(awkward.by_hand())[:cut], BY_HAND) != "changed"


def mangled(draw: random.Random, text: bytes) -> bytes:
    """A part with something put in, left out, or doubled."""
    at, length = draw.randrange(len(text)), draw.randint(1, 40)
    way = draw.random()
    if way < 0.5:
        return text[:at] + draw.choice(PIECES) + text[at:]
    return text[:at] + (text[at : at + length] * 2 if way < 0.75 else b"") + text[at + length :]


def parts_and_places() -> Iterator[tuple[dict[str, bytes], str, list[Change]]]:
    """Workbooks with the part that is mangled."""
    with zipfile.ZipFile(io.BytesIO(awkward.everything())) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    for name in ("xl/worksheets/sheet1.xml", "xl/worksheets/sheet2.xml", "xl/workbook.xml", "xl/tables/table1.xml",
                 "xl/sharedStrings.xml", "xl/_rels/workbook.xml.rels", "xl/charts/chart1.xml"):  # fmt: skip
        yield parts, name, CHANGES
    yield awkward.by_hand(), raw.SHEET, BY_HAND


@pytest.mark.parametrize(
    ("parts", "name", "changes"), [*parts_and_places()], ids=lambda one: one if isinstance(one, str) else ""
)
def test_parts(parts: dict[str, bytes], name: str, changes: list[Change]) -> None:
    """XML that is no XML, or another; formulas that are none; addresses that are nowhere."""
    draw = random.Random(name)
    found = {tried(raw.packed(parts | {name: mangled(draw, parts[name])}), changes) for _ in range(ROUNDS // 3)}
    assert "broken-workbook" in found


@pytest.mark.parametrize("seed", range(4))
def test_formulas(seed: int) -> None:
    """Any signs in a formula: it is read, or taken to read everything."""
    draw = random.Random(seed)
    signs = "A1 $B : S! ' \" ( ) [ ] # #REF! , 1 . SUM( X \\ { @ ! é".split()
    for _ in range(ROUNDS):
        text = "".join(draw.choice(signs) for _ in range(draw.randint(1, 14)))
        cell = f'<c r="C1"><f>{text.replace("&", "&amp;").replace("<", "&lt;")}</f><v>1</v></c>'
        assert tried(raw.packed(raw.parts(f'<row r="1">{cell}</row>')), [Change("S", "A1", True)]) == "changed"
