"""Pages of the costing: whoever takes one out of the stack reads above each column what stands in it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal as D
from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook

from quotekit.documents.costing import lay_out_costing
from quotekit.documents.costing_pages import in_pages, standing_head
from quotekit.documents.costing_style import PAGE_POINTS, UPRIGHT_POINTS, head, note, section
from quotekit.documents.sheet import Row, Sheet, WorkbookValue, row, text
from quotekit.model.quote import Quote
from quotekit.pricing.explain import explain_quote
from quotekit.problems import Place, warning
from quotekit.workbook.write_sheet import workbook_bytes
from tests.documents.sample_quote import GOOD, QUOTE
from tests.pricing.explain.cases import EXAMPLES, example_quote

POINTS = 100.0
ONE_TABLE = ("Every number", "Inputs")


def tall(line: Row, height: float = 10.0) -> Row:
    return replace(line, height=height)


def line_of(words: str, keep: bool = False) -> Row:
    return row(text(words), text("1"), height=10, keep=keep)


def lines(count: int, words: str = "line") -> list[Row]:
    return [line_of(f"{words} {number}") for number in range(count)]


HEAD = tall(head("What", "How many"))
OTHER = tall(head("Who", "How much"))
SECTION = [tall(line) for line in section("A section", 2)]
NOTE = tall(note("Said of all of it.", 2))


def first(line: Row) -> object:
    return line.cells[0].content


def pages(rows: tuple[Row, ...]) -> list[list[object]]:
    """The first text of each row, page by page."""
    found: list[list[object]] = [[]]
    for line in rows:
        if line.break_before:
            found.append([])
        found[-1].append(first(line))
    return found


@pytest.mark.parametrize(
    ("rows", "starts"),
    [
        ([HEAD, *lines(20)], ["What", "What", "What"]),
        ([*SECTION, HEAD, *lines(5), OTHER, *lines(9)], [None, "Who"]),
        ([HEAD, *lines(8), *SECTION, OTHER, *lines(9)], ["What", None, "Who"]),
        ([HEAD, *lines(9), NOTE, NOTE], ["What", "Said of all of it."]),
        ([HEAD, *lines(9), NOTE, *lines(2)], ["What", "What"]),
        ([*lines(15)], ["line 0", "line 10"]),
        ([HEAD, *lines(9)], ["What"]),
        ([], []),
    ],
    ids=["a long table", "the head in force", "a section has its own", "no head above a sentence alone",
         "a sentence inside a table", "rows without a head", "a table that fits", "nothing"],
)  # fmt: skip
def test_a_page_begins_with_the_head_of_what_goes_on(rows: list[Row], starts: list[object]) -> None:
    assert [page[0] for page in pages(in_pages(rows, POINTS)) if page] == starts


def test_rows_kept_together_move_with_their_head() -> None:
    rows = [HEAD, *lines(7), *(line_of(f"kept {n}", keep=n < 2) for n in range(3))]
    assert pages(in_pages(rows, POINTS))[1] == ["What", "kept 0", "kept 1", "kept 2"]


def test_a_head_that_the_program_repeats_is_said_once_and_has_its_room_on_each_page() -> None:
    rows = [tall(row(text("Title"))), HEAD, *lines(30)]
    found = in_pages(rows, POINTS, standing_head(rows))
    assert standing_head(rows) == 1
    assert [first(line) for line in found] == [first(line) for line in rows]
    assert all(len(page) * 10 + 10 <= POINTS for page in pages(found))


@given(st.lists(st.sampled_from(["head", "section", "note", "line", "kept"]), max_size=60))
def test_no_row_is_lost_and_only_heads_are_said_again(kinds: list[str]) -> None:
    """Whatever follows whatever, and only where a page begins."""
    made = {"head": [HEAD], "section": SECTION, "note": [NOTE], "line": lines(1), "kept": [line_of("kept", keep=True)]}
    rows = [line for kind in kinds for line in made[kind]]
    found = in_pages(rows, POINTS)
    again = [number for number, line in enumerate(found) if line.break_before and first(line) == "What"]
    rest = [replace(line, break_before=False) for line in found]
    added = len(found) - len(rows)
    assert added <= len(again)
    assert [first(line) for line in rest if first(line) != "What"] == [first(ln) for ln in rows if first(ln) != "What"]


def large(quote: Quote = QUOTE, count: int = 120) -> Quote:
    """The small quote with many lines of each kind, as a machine taken down to its frame has them."""
    items = [replace(GOOD.items[0], code=f"REM-{n}", side=None) for n in range(count)]
    parts = [replace(GOOD.part_lines[0], part=f"PART-{n}") for n in range(count)]
    findings = [replace(QUOTE.job.findings[0], code=f"F-{n}", name=f"Worn {n}") for n in range(count)]
    tier = replace(GOOD, items=tuple(items), part_lines=tuple(parts), shares=GOOD.shares * count)
    return replace(quote, tiers=(tier,), job=replace(quote.job, findings=tuple(findings)))


def costing(quote: Quote) -> WorkbookValue:
    said = [warning(Place("job.xlsx", "Findings", f"C{n}"), "far-off", f"Far off {n}.", "Look.") for n in range(90)]
    return lay_out_costing(quote, said)


def starts(sheet: Sheet) -> Iterator[Row]:
    """The first row of each page but the first."""
    return (line for line in sheet.rows if line.break_before)


def test_each_page_of_a_large_costing_says_what_its_columns_are() -> None:
    """A page begins with a head, a section, or a sentence over the whole width."""
    cut = 0
    for sheet in costing(large()).sheets:
        for line in starts(sheet):
            heads = all(cell.style.startswith("head") for cell in line.cells)
            assert heads or len(line.cells) == 1 or sheet.name in ONE_TABLE, (sheet.name, line)
            cut += heads
    assert cut > 10


def test_pages_with_a_repeated_head_are_not_too_tall() -> None:
    for sheet in costing(large()).sheets:
        most = PAGE_POINTS if sheet.page.landscape else UPRIGHT_POINTS
        again = sheet.rows[sheet.page.repeat_from].height or 0 if sheet.page.repeat_rows else 0
        used = 0.0
        for line in sheet.rows:
            used = (line.height or 0) + (again if line.break_before else 0) + (0 if line.break_before else used)
            assert used <= most, sheet.name


def explained() -> WorkbookValue:
    from quotekit.documents.costing_explained import shown

    quote = example_quote(EXAMPLES[0])
    return lay_out_costing(quote, trees=explain_quote(quote, shown))


def test_a_sheet_of_one_table_has_one_head_that_stays_and_is_printed_on_each_page() -> None:
    value = explained()
    found = load_workbook(BytesIO(workbook_bytes(value)))
    for name in ONE_TABLE:
        sheet = next(sheet for sheet in value.sheets if sheet.name == name)
        heads = [n for n, line in enumerate(sheet.rows, start=1) if all(c.style.startswith("head") for c in line.cells)]
        assert len(heads) == 1 and any(line.break_before for line in sheet.rows)
        assert found[name].freeze_panes == f"A{heads[0] + 1}"
        assert found[name].print_title_rows == f"${heads[0]}:${heads[0]}"
        assert heads[0] < 6
    assert not any(found[sheet.name].freeze_panes for sheet in value.sheets if sheet.name not in ONE_TABLE)


def test_what_an_input_belongs_to_stands_on_the_page_of_the_input() -> None:
    inputs = next(sheet for sheet in explained().sheets if sheet.name == "Inputs")
    assert all(first(line) for line in inputs.rows if line.break_before and len(line.cells) == 4)


PAPERS = {"A4": (D("595.28"), D("841.89")), "Letter": (D(612), D(792))}
WIDER, BESIDE = D("5.57"), D("3.75")
"""Points a character and a column as LibreOffice 7.4 draws Arial of 10 points, measured: a sixteenth wider."""


@pytest.mark.parametrize("paper", PAPERS)
def test_every_sheet_is_one_page_wide_on_both_papers(paper: str) -> None:
    """What stands over the edge is printed on pages of its own: the last column of each page, without a word."""
    for sheet in (*explained().sheets, *costing(large()).sheets):
        across = PAPERS[paper][1 if sheet.page.landscape else 0]
        room = across - 72 * (D(str(sheet.page.left)) + D(str(sheet.page.right)))
        assert sum(D(str(width)) * WIDER + BESIDE for width in sheet.widths) <= room, (sheet.name, paper)
