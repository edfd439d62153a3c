"""What was changed in the shop book, in words and as JSON."""

from __future__ import annotations

from datetime import date

import pytest

from quotekit.documents.changed_book import areas, changed_json, lay_out_change
from quotekit.model.changed_file import NOTHING, CalculatedCell, Changed, ChangedCell, ChangedFile, Content
from quotekit.model.entries import Entry
from quotekit.model.record_json import to_json


def number(text: str) -> Content:
    """A stored number."""
    return Content(kind="number", text=text)


def cell(old: Content, new: Content, *, column: str = "Pack cost", code: str = "BELT") -> ChangedCell:
    """A changed cell of the belt."""
    return ChangedCell(sheet="Parts", cell="D3", old=old, new=new, code=code, column=column, supplier="NORTH")


def result(at: str, new: Content = NOTHING, sheet: str = "Own") -> CalculatedCell:
    """A result that hung on it."""
    return CalculatedCell(sheet=sheet, cell=at, old=number("1"), new=new)


def a_file(
    *cells: ChangedCell, calculated: tuple[CalculatedCell, ...] = (), kept: str = "", date_1904: bool = False
) -> ChangedFile:
    """A record."""
    return ChangedFile(
        file="b.xlsx", before="a", after="b", kept=kept, cells=cells, calculated=calculated, date_1904=date_1904
    )


def said(*cells: ChangedCell, **more: object) -> list[str]:
    """The lines."""
    return list(lay_out_change(a_file(*cells, **more)))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("one", "line"),
    [
        (cell(number("19.5"), number("21.25")), "Parts!D3 (BELT, Pack cost): 19.5 -> 21.25"),
        (cell(NOTHING, number("5"), column="Lead days"), "Parts!D3 (BELT, Lead days): nothing -> 5"),
        (cell(Content(kind="text", text="007"), NOTHING), "Parts!D3 (BELT, Pack cost): 007 -> nothing"),
        (
            cell(number("46027"), number("46358"), column="Cost date"),
            "Parts!D3 (BELT, Cost date): 2026-01-05 -> 2026-12-02",
        ),
        (cell(number("46027"), NOTHING, column="Dated"), "Parts!D3 (BELT, Dated): 2026-01-05 -> nothing"),
        (cell(number("46027.5"), NOTHING, column="Dated"), "Parts!D3 (BELT, Dated): 2026-01-05 -> nothing"),
        (cell(number("59"), number("61"), column="Dated"), "Parts!D3 (BELT, Dated): 1900-02-28 -> 1900-03-01"),
        (cell(Content(kind="text", text="soon"), number("-1"), column="Dated"), "Parts!D3 (BELT, Dated): soon -> -1"),
        (cell(number("1"), number("2"), code="", column=""), "Parts!D3: 1 -> 2"),
    ],
)
def test_a_cell_in_words(one: ChangedCell, line: str) -> None:
    """Days are dates where the column holds days."""
    assert said(one) == [line]


def test_days_of_1904() -> None:
    one = cell(number("0"), number("44565"), column="Cost date")
    assert said(one, date_1904=True) == ["Parts!D3 (BELT, Cost date): 1904-01-01 -> 2026-01-05"]


def test_results_and_the_copy() -> None:
    """Worked out again one by one, taken away as areas with what to do; the copy comes last."""
    calculated = (result("A1", number("2")), result("B2"), result("B3"), result("D2"))
    assert said(calculated=calculated, kept="old.xlsx") == [
        "Own!A1, worked out again: 1 -> 2",
        "3 results that hang on it were taken away: Own!B2:B3, Own!D2",
        "Open the workbook in your spreadsheet and save it once before you price with it.",
        "The old file is kept as old.xlsx.",
    ]


def test_many_results_worked_out_are_told_as_areas() -> None:
    calculated = tuple(result(f"A{row}", number("2")) for row in range(1, 41))
    lines = said(calculated=calculated)
    assert lines[11:] == [
        "Own!A12, worked out again: 1 -> 2",
        "and 28 more results worked out again: Own!A13:A40",
    ]


@pytest.mark.parametrize(
    ("cells", "expected"),
    [
        ([], []),
        (["A1"], ["Own!A1"]),
        (["A2", "A1", "A3"], ["Own!A1:A3"]),
        (["A1", "A3"], ["Own!A1", "Own!A3"]),
        (["AA1", "B1", "B2"], ["Own!B1:B2", "Own!AA1"]),
        (["A9", "A10", "A11"], ["Own!A9:A11"]),
        (["odd"], ["Own!odd0"]),
    ],
)
def test_areas(cells: list[str], expected: list[str]) -> None:
    """By column, in the order of the sheet."""
    assert areas(result(one) for one in cells) == expected


def test_sheets_apart() -> None:
    assert areas([result("A1"), result("A2", sheet="Other")]) == ["Other!A2", "Own!A1"]


def test_as_json() -> None:
    """Every figure as text, exact days, nothing as null; every result named."""
    file = a_file(
        cell(number("8.949999999999999"), number("9.45")),
        cell(NOTHING, number("46358"), column="Cost date"),
        calculated=(result("A1", number("2")), result("B2")),
        kept="old.xlsx",
    )
    body = Changed(what="prices", file=file, undoes=4)
    entry = Entry(
        seq=7, at="", day=date(2026, 12, 2), who="", why="", kind="changed", job="", version=None, number=5,
        body=to_json(body), hash="", before="",
    )  # fmt: skip
    told = changed_json(entry)
    assert (told["change"], told["entry"], told["undoes"], told["kept"]) == (5, 7, 4, "old.xlsx")
    assert [(one["was"], one["is"]) for one in told["changed"]] == [("8.95", "9.45"), (None, "2026-12-02")]
    assert told["worked_out"] == [{"sheet": "Own", "cell": "A1", "was": "1", "is": "2"}]
    assert told["taken_away"] == ["Own!B2"]


def test_as_json_without_a_change() -> None:
    """The same names, all empty."""
    assert changed_json(None) == {
        "change": None, "entry": None, "undoes": None, "changed": [], "worked_out": [], "taken_away": [], "kept": None,
    }  # fmt: skip
