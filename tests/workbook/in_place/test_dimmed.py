"""Blanks in place of cells that nobody asked for: the places stay, and the slow pass finds the same."""

from __future__ import annotations

import random

import pytest

from quotekit.workbook.in_place.dimmed import dimmed
from quotekit.workbook.in_place.sheet_cells import SheetCells, find_cells
from quotekit.workbook.package import BadPackage

HEAD = '<?xml version="1.0"?><worksheet><dimension ref="A1"/><sheetData>'
TAIL = "</sheetData></worksheet>"


def blanks(text: str) -> str:
    """As many blanks."""
    return " " * len(text)


PLAIN = '<c r="A1" s="1"><v>7</v></c>'
WORKED = '<c r="B1"><f>A1</f><v>7</v></c>'


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        (f'<row r="1">{PLAIN}</row>', f'<row r="1">{blanks(PLAIN)}</row>'),
        (f'<row r="1">{PLAIN}{WORKED}</row>', f'<row r="1">{blanks(PLAIN)}{WORKED}</row>'),
        (f'<row r="1">{WORKED}{PLAIN}</row>', f'<row r="1">{WORKED}{blanks(PLAIN)}</row>'),
        (f'<row r="2">{PLAIN}</row>', f'<row r="2">{PLAIN}</row>'),
        (f"<row/><row>{PLAIN}</row>", f"<row/><row>{PLAIN}</row>"),
        (f"<row>{PLAIN}</row><row/>", f"<row>{blanks(PLAIN)}</row><row/>"),
        ("<row r='1'/><row r='3'><c/></row>", "<row r='1'/><row r='3'>    </row>"),
        ('<row r="1"><c><v>1</v></c><c><f>1</f></c></row>', '<row r="1"><c><v>1</v></c><c><f>1</f></c></row>'),
        (f'<row r="1">{PLAIN}<x:c><x:f/></x:c></row>', f'<row r="1">{PLAIN}<x:c><x:f/></x:c></row>'),
        (f'<row r="1" x="a>b">{PLAIN}</row>', f'<row r="1" x="a>b">{blanks(PLAIN)}</row>'),
        (f'<row r="1"><!-- a -->{PLAIN}</row>', f'<row r="1"><!-- a -->{PLAIN}</row>'),
        (f'<row r="1"><?a b?>{PLAIN}</row>', f'<row r="1"><?a b?>{PLAIN}</row>'),
        (f'<row r="1"><formula/>{PLAIN}</row>', f'<row r="1">{blanks("<formula/>" + PLAIN)}</row>'),
        ('<x:row r="1"><x:c r="A1"/></x:row>', f'<x:row r="1">{blanks("<x:c r=..../>")}</x:row>'),
    ],
)
def test_rows(rows: str, expected: str) -> None:
    """The second row is wanted."""
    assert dimmed(f"{HEAD}{rows}{TAIL}".encode(), {2}, formulas=True).decode() == f"{HEAD}{expected}{TAIL}"


def test_rows_that_a_formula_fills() -> None:
    """They hold results without a formula of their own; the row behind them is blank again."""
    filled = '<row r="1"><c r="A1"><f t="array" ref="A1:A3">B1:B3</f><v>1</v></c></row>'
    rows = "".join(f'<row r="{row}"><c r="A{row}"><v>1</v></c></row>' for row in range(2, 5))
    text = f"{HEAD}{filled}{rows}{TAIL}"
    made = dimmed(text.encode(), (), formulas=True).decode()
    assert made == text.replace('<c r="A4"><v>1</v></c>', blanks('<c r="A4"><v>1</v></c>'))
    assert "A2" not in dimmed(text.encode(), (), formulas=False).decode()


def found(cells: SheetCells) -> object:
    """What a pass found, to be compared."""
    of = {at: (one.start, one.opened, one.closing, one.end, one.inside, one.value) for at, one in cells.cells.items()}
    return of, cells.row_starts, cells.table, cells.around


def test_the_pass_finds_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """Random sheets, with and without blanks; only rows that are wanted tell where their cells are."""
    draw = random.Random(8)
    for _ in range(60):
        prefix = draw.choice(("", "x:"))
        rows = "".join(a_row(draw, row, prefix) for row in range(1, 9) if draw.random() < 0.8)
        data = (
            f'<{prefix}worksheet xmlns:x="m"><{prefix}sheetData>{rows}</{prefix}sheetData></{prefix}worksheet>'.encode()
        )
        wanted = {(draw.randint(1, 9), draw.randint(1, 6)) for _ in range(2)}
        quick = find_cells("S", data, wanted)
        with monkeypatch.context() as patched:
            patched.setattr("quotekit.workbook.in_place.sheet_cells.dimmed", lambda data, rows, formulas: data)
            assert found(find_cells("S", data, wanted)) == found(quick)


def a_row(draw: random.Random, row: int, prefix: str) -> str:
    """A row of cells of any kind."""
    cells = ""
    for column in "ABCDEF":
        kind = draw.random()
        place = f' r="{column}{row}"' if draw.random() < 0.97 else ""
        if kind < 0.3:
            cells += f"<{prefix}c{place}><{prefix}v>{row}</{prefix}v></{prefix}c>"
        elif kind < 0.4:
            cells += f"<{prefix}c{place}/>"
        elif kind < 0.5:
            area = f' t="array" ref="{column}{row}:{column}{row + 2}"'
            cells += f"<{prefix}c{place}><{prefix}f{area}>1</{prefix}f><{prefix}v>2</{prefix}v></{prefix}c>"
        elif kind < 0.7:
            cells += f"<{prefix}c{place} a='>'><{prefix}f>A1&lt;2</{prefix}f></{prefix}c>"
    return f'<{prefix}row r="{row}">{cells}</{prefix}row>'


def test_a_sheet_that_is_not_well_formed() -> None:
    """Blanks hide nothing: the whole sheet is looked through first."""
    with pytest.raises(BadPackage):
        find_cells("S", f'{HEAD}<row r="1"><c r="A1"><v></c></row>{TAIL}'.encode(), ())
