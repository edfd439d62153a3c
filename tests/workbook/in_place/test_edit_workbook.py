"""What is refused, what is said, and what becomes of the results that hang on a change."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal

import pytest

from quotekit.model.record_json import UnreadableRecord, from_json, to_json
from quotekit.workbook.in_place.changes import Change
from quotekit.workbook.in_place.contents import NOTHING, Content, NewValue
from quotekit.workbook.in_place.edit_workbook import edit_workbook, worked_out_when_opened
from quotekit.workbook.in_place.results import CannotWorkOut, WorkedOut
from quotekit.workbook.package import BadPackage
from tests.in_place import awkward
from tests.in_place.compare import collateral
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import (
    SHEET,
    SHEET_LINKS,
    a_book,
    codes,
    edit,
    edited,
    part_of,
    related,
    rows_of,
)
from tests.workbook.in_place.test_dependents import TABLE

D = Decimal
PIVOT = f'<pivotTableDefinition xmlns="{raw.MAIN}"><location ref="B2:C4"/></pivotTableDefinition>'
PIVOTED = {"xl/pivotTables/p.xml": PIVOT, SHEET_LINKS: related("pivotTable", "../pivotTables/p.xml")}
CELL = '<row r="1"><c r="A1"><v>1</v></c></row>'


@pytest.mark.parametrize(
    ("rows", "after", "more", "cell", "code"),
    [
        ('<row r="1"><c r="A1"><f>1+1</f><v>2</v></c></row>', "", {}, "A1", "cell-is-formula"),
        ('<row r="1"><c r="A1"><f t="shared" si="0"/></c></row>', "", {}, "A1", "cell-is-formula"),
        ('<row r="1"><c r="A1"><f t="array" ref="A1:B2">1</f></c></row>', "", {}, "A1", "cell-in-array"),
        ('<row r="1"><c r="A1"><f t="array" ref="A1:B2">1</f></c></row>', "", {}, "B2", "cell-in-array"),
        ('<row r="1"><c r="A1"><f t="dataTable" ref="A1:B2"/></c><c r="B1"/></row>', "", {}, "B1", "cell-in-array"),
        ("", '<mergeCells><mergeCell ref="A1:B2"/></mergeCells>', {}, "B2", "cell-merged"),
        ('<row r="1"><c r="A1" vm="1" t="e"><v>#VALUE!</v></c></row>', "", {}, "A1", "cell-holds-more"),
        ('<row r="1"><c r="A1" cm="1"><v>1</v></c></row>', "", {}, "A1", "cell-holds-more"),
        ("", "", PIVOTED, "C4", "cell-in-pivot"),
        ("", "", {"xl/tables/t.xml": TABLE, SHEET_LINKS: related("table", "../tables/t.xml")}, "B1", "cell-of-table"),
        ("", "", {"xl/tables/t.xml": TABLE, SHEET_LINKS: related("table", "/xl/tables/t.xml")}, "C5", "cell-of-table"),
    ],
)  # fmt: skip
def test_cells_that_are_refused(rows: str, after: str, more: Mapping[str, str], cell: str, code: str) -> None:
    """Each with its cell; and a change beside it is not made either."""
    found, problems = edit(a_book(rows, after=after, more=more), {cell: D(2), "Z9": D(1)})
    assert found is None
    assert codes(problems) == [(code, cell)]


@pytest.mark.parametrize("cell", ["A1", "C1", "A3"])
def test_the_first_of_merged_cells_and_cells_beside(cell: str) -> None:
    """The first cell shows for all of them."""
    found = edited(a_book(after='<mergeCells><mergeCell ref="A1:B2"/></mergeCells>'), {cell: D(2)})
    assert [one.cell for one in found.cells] == [cell]


@pytest.mark.parametrize("cell", ["B2", "B4", "D1"])
def test_cells_in_a_table(cell: str) -> None:
    """What is neither title nor total may be changed."""
    more = {"xl/tables/t.xml": TABLE, SHEET_LINKS: related("table", "../tables/t.xml")}
    assert edited(a_book(more=more), {cell: D(2)}).cells


@pytest.mark.parametrize(
    ("cells", "code", "where"),
    [
        ({"Gone!A1": D(1)}, "missing-sheet", ""),
        ({"A0": D(1)}, "not-a-cell", ""),
        ({"A1:B2": D(1)}, "not-a-cell", ""),
        ({"XFE1": D(1)}, "not-a-cell", ""),
        ({"A1": D("1.2345678901234567")}, "value-not-kept", "A1"),
        ({"A1": "\ud83d"}, "value-not-kept", "A1"),
        ({"A1": date(1850, 1, 1)}, "value-not-kept", "A1"),
        ({"A1": date(2026, 1, 1)}, "no-date-format", "A1"),
        ({"S!A1": D(1), "s!A1": D(2)}, "changed-twice", "A1"),
    ],
)
def test_changes_that_are_refused(cells: Mapping[str, NewValue], code: str, where: str) -> None:
    found, problems = edit(a_book(CELL), cells)
    assert found is None
    assert codes(problems) == [(code, where)]


def test_the_same_change_twice() -> None:
    """It is made once."""
    assert len(edited(a_book(CELL), {"S!A1": D(2), "s!A1": D("2.0")}).cells) == 1


@pytest.mark.parametrize(
    ("more", "code"),
    [
        ({"_xmlsignatures/sig1.xml": "<s/>"}, "workbook-signed"),
        ({"xl/revisions/revisionHeaders.xml": "<s/>"}, "workbook-shared"),
        ({"xl/userNames.xml": "<s/>"}, "workbook-shared"),
        ({SHEET: "<worksheet>"}, "broken-workbook"),
        ({SHEET: "<worksheet/>"}, "broken-workbook"),
        ({SHEET: '<!DOCTYPE a><worksheet><sheetData/></worksheet>'}, "dtd"),
    ],
)  # fmt: skip
def test_files_that_are_refused(more: Mapping[str, str], code: str) -> None:
    found, problems = edit(a_book(CELL, more=more), {"A1": D(2)})
    assert found is None
    assert codes(problems) == [(code, "")]


@pytest.mark.parametrize(
    ("file", "data", "code"),
    [
        ("book.ods", b"", "other-format"),
        ("book.XLSB", b"", "other-format"),
        ("book.xls", b"", "other-format"),
        ("book.xlsx", b"no workbook", "not-a-workbook"),
        ("book.xlsx", bytes.fromhex("d0cf11e0a1b11ae1") + "EncryptedPackage".encode("utf-16-le"), "encrypted"),
        ("book.xlsx", bytes.fromhex("d0cf11e0a1b11ae1"), "not-a-workbook"),
    ],
)
def test_other_files(file: str, data: bytes, code: str) -> None:
    """Said in words, whatever the name says it is."""
    found, problems = edit(data, {"A1": D(1)}, file=file)
    assert found is None
    assert codes(problems) == [(code, "")]


def test_all_refusals_at_once() -> None:
    """The owner mends them in one go."""
    rows = '<row r="1"><c r="A1"><f>1</f></c><c r="B1"/></row>'
    found, problems = edit(a_book(rows, after='<mergeCells><mergeCell ref="C1:D1"/></mergeCells>'),
                           {"A1": D(1), "B1": D(1), "D1": D(1), "E1": date(2026, 1, 1), "Gone!A1": D(1)})  # fmt: skip
    assert found is None
    assert codes(problems) == [
        ("missing-sheet", ""),
        ("cell-is-formula", "A1"),
        ("cell-merged", "D1"),
        ("no-date-format", "E1"),
    ]


@pytest.mark.parametrize(
    ("value", "old", "new"),
    [
        (D("2.5"), "1", "2.5"),
        ("a", "1", "a"),
        (None, "1", "nothing"),
        (True, "1", "TRUE"),
    ],
)
def test_what_is_told_of_a_change(value: NewValue, old: str, new: str) -> None:
    (cell,) = edited(a_book(CELL), {"A1": value}).cells
    assert (cell.sheet, cell.cell, str(cell.old), str(cell.new)) == ("S", "A1", old, new)


@pytest.mark.parametrize(
    ("cell", "value"),
    [
        ('<c r="A1"><v>2.5</v></c>', D("2.50")),
        ('<c r="A1"><v>2.4999999999999998</v></c>', D("2.5")),
        ('<c r="A1" t="s"><v>0</v></c>', "first"),
        ('<c r="A1" t="b"><v>1</v></c>', True),
        ('<c r="A1"/>', None),
        ("", None),
    ],
)
def test_a_cell_that_says_it_already(cell: str, value: NewValue) -> None:
    """Nothing is changed: not a byte, and no result is taken away."""
    data = a_book(f'<row r="1">{cell}<c r="C1"><f>A1</f><v>9</v></c></row>')
    found = edited(data, {"A1": value})
    assert (found.data, found.cells, found.calculated) == (data, (), ())


def test_dates() -> None:
    """In the cell's own format, and in the workbook's own calendar."""
    rows = f'<row r="1"><c r="A1" {raw.style("yyyy-mm-dd")}/><c r="B1" {raw.style("yyyy-mm-dd hh:mm")}/></row>'
    for later, numbers in ((False, ("46354", "46354.5")), (True, ("44892", "44892.5"))):
        data = raw.packed(raw.parts(rows, date_1904=later))
        found = edited(data, {"A1": date(2026, 11, 28), "B1": datetime(2026, 11, 28, 12)})
        assert [str(one.new) for one in found.cells] == list(numbers)


def test_a_new_cell_in_a_column_of_dates() -> None:
    """Its style is the column's, which shows a date."""
    style = raw.FORMATS.index("yyyy-mm-dd")
    data = a_book(before=f'<cols><col min="1" max="1" style="{style}"/></cols>')
    assert f's="{style}"><v>46354</v>' in rows_of(edited(data, {"A1": date(2026, 11, 28)}).data)


def test_a_shared_text_is_nobody_elses() -> None:
    """Two cells show one text; one of them gets another, and the list of texts stays."""
    data = a_book('<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>0</v></c></row>')
    found = edited(data, {"A1": "other"})
    assert part_of(found.data, raw.STRINGS) == part_of(data, raw.STRINGS)
    assert rows_of(found.data).endswith('<c r="B1" t="s"><v>0</v></c></row>')
    assert str(found.cells[0].old) == "first"


@pytest.mark.parametrize(
    ("rule", "value", "told"),
    [
        ('type="decimal" operator="greaterThan" sqref="A1"><formula1>0</formula1>', D(-1), True),
        ('type="decimal" operator="greaterThan" sqref="A1"><formula1>0</formula1>', D(1), False),
        ('type="decimal" operator="greaterThan" sqref="B1 A1:A9"><formula1>0</formula1>', "text", True),
        ('type="whole" operator="between" sqref="A1"><formula1>1</formula1><formula2>3</formula2>', D(4), True),
        ('type="whole" operator="between" sqref="A1"><formula1>1</formula1><formula2>3</formula2>', D("1.5"), True),
        ('type="whole" operator="notBetween" sqref="A1"><formula1>1</formula1><formula2>3</formula2>', D(4), False),
        ('type="list" sqref="A1"><formula1>"Yes,No"</formula1>', "perhaps", True),
        ('type="list" sqref="A1"><formula1>"Yes, No"</formula1>', "No", False),
        ('type="list" sqref="A1"><formula1>"1,2.50"</formula1>', D("2.5"), False),
        ('type="list" sqref="A1"><formula1>$B$1:$B$9</formula1>', "perhaps", False),
        ('type="textLength" operator="lessThanOrEqual" sqref="A1"><formula1>3</formula1>', "four", True),
        ('type="date" operator="equal" sqref="A1"><formula1>46354</formula1>', D(46354), False),
        ('type="custom" sqref="A1"><formula1>A1&gt;3</formula1>', D(1), False),
        ('type="decimal" operator="lessThan" sqref="A1"><formula1>B1</formula1>', D(1), False),
        ('type="decimal" operator="notEqual" sqref="A1"><formula1>2</formula1>', D(2), True),
        ('type="decimal" operator="lessThan" sqref="A1"><formula1>2</formula1>', D(2), True),
        ('type="decimal" operator="greaterThanOrEqual" sqref="A1"><formula1>1</formula1>', D(1), False),
        ('type="decimal" operator="greaterThan" sqref="B1"><formula1>0</formula1>', D(-1), False),
    ],
)
def test_rules_for_typing(rule: str, value: NewValue, told: bool) -> None:
    """The change is made; that the cell's own rule would not have let it through is said."""
    after = f"<dataValidations><dataValidation {rule}</dataValidation></dataValidations>"
    found, problems = edit(a_book(CELL, after=after), {"A1": value})
    assert found is not None
    assert codes(problems) == ([("against-typing-rule", "A1")] if told else [])


@pytest.mark.parametrize(("sheet", "told"), [("1", True), ("0", False)])
def test_a_protected_sheet(sheet: str, told: bool) -> None:
    """Protection is no lock: the owner ticked the cell, so it is changed, and that is said."""
    found, problems = edit(a_book(CELL, after=f'<sheetProtection sheet="{sheet}"/>'), {"A1": D(2)})
    assert found is not None and found.cells
    assert [one.code for one in problems] == (["sheet-protected"] if told else [])


def chart(reference: str) -> str:
    """A chart's part with one source."""
    return f'<c:chart xmlns:c="c"><c:numRef><c:f>{reference}</c:f><c:numCache/></c:numRef></c:chart>'


@pytest.mark.parametrize(
    ("reference", "told"),
    [("S!$A$1:$A$9", True), ("S!$B$1:$B$9", True), ("S!$D$1:$D$9", False), ("S!Costs", True), ("S!Others", False)],
)
def test_charts(reference: str, told: bool) -> None:
    """A chart's stored picture is left as it is, and that is said; also where it shows a result."""
    rows = '<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f>A1</f><v>1</v></c></row>'
    names = '<definedName name="Costs">S!$A$1</definedName><definedName name="Others">S!$D$1</definedName>'
    book = str(raw.parts()[raw.BOOK]).replace("</sheets>", f"</sheets><definedNames>{names}</definedNames>")
    data = a_book(rows, more={"xl/charts/chart1.xml": chart(reference), raw.BOOK: book})
    found, problems = edit(data, {"A1": D(2)})
    assert found is not None
    assert ("chart-as-before" in [one.code for one in problems]) is told
    assert part_of(found.data, "xl/charts/chart1.xml") == chart(reference)


@pytest.mark.parametrize(
    ("source", "told"),
    [
        ('ref="A1:C9" sheet="S"', True),
        ('ref="B1:C9" sheet="S"', False),
        ('ref="A1:C9" sheet="Gone"', False),
        ('name="Range"', True),
        ('name="Costs"', True),
    ],
)
def test_pivot_tables(source: str, told: bool) -> None:
    """They are left as they are until they are refreshed, and that is said."""
    cache = (
        f'<pivotCacheDefinition xmlns="{raw.MAIN}"><cacheSource type="worksheet"><worksheetSource {source}/>'
        "</cacheSource></pivotCacheDefinition>"
    )
    names = '<definedNames><definedName name="Range">S!$A$1:$A$2</definedName></definedNames>'
    book = str(raw.parts()[raw.BOOK]).replace("</sheets>", f"</sheets>{names}")
    more = {
        "xl/pivotCache/pivotCacheDefinition1.xml": cache,
        raw.BOOK: book,
        "xl/tables/t.xml": TABLE.replace("A1:C5", "A1:C9")
        .replace('totalsRowCount="1"', "")
        .replace("<table ", '<table headerRowCount="0" '),
        SHEET_LINKS: related("table", "../tables/t.xml"),
    }
    found, problems = edit(a_book(CELL, more=more), {"A1": D(2)})
    assert found is not None
    assert [one.code for one in problems] == (["pivot-as-before"] if told else [])


CHAIN = (
    '<row r="1"><c r="A1"><v>1</v></c><c r="B1"><f>A1*2</f><v>2</v></c><c r="C1"><f>B1&gt;1</f><v>1</v></c>'
    '<c r="D1"><f>2*3</f><v>99</v></c></row>'
)


def gives(before: Mapping[str, Content], after: Mapping[str, Content]) -> object:
    """A program that gives these contents for cells of the sheet `S`."""

    def work_out(old: bytes, new: bytes, wanted: frozenset[tuple[str, str]]) -> WorkedOut:
        assert wanted == {("s", "B1"), ("s", "C1")}
        assert "<v>2</v>" in rows_of(old) and '<c r="B1"><f>A1*2</f></c>' in rows_of(new)
        return WorkedOut(
            before={("s", cell): one for cell, one in before.items()},
            after={("s", cell): one for cell, one in after.items()},
        )

    return work_out


def number(text: str) -> Content:
    """A number."""
    return Content(kind="number", text=text)


def test_results_that_are_believed() -> None:
    """They are stored beside the change; a stored result that hangs on nothing stays, even a wrong one."""
    program = gives({"B1": number("2"), "C1": number("1")}, {"B1": number("14"), "C1": number("1")})
    found, problems = edit(a_book(CHAIN), {"A1": D(7)}, program)  # type: ignore[arg-type]
    assert found is not None and problems == []
    assert rows_of(found.data) == CHAIN.replace("<v>1</v></c><c r=\"B1\">", "<v>7</v></c><c r=\"B1\">").replace(
        "<f>A1*2</f><v>2</v>", "<f>A1*2</f><v>14</v>"
    )  # fmt: skip
    assert [(one.cell, str(one.old), str(one.new)) for one in found.calculated] == [("B1", "2", "14")]
    assert part_of(found.data, raw.BOOK) == part_of(a_book(CHAIN), raw.BOOK)


def test_results_that_are_not_believed() -> None:
    """The program gives another old result than what is stored: no result at all is left, and the cells are named."""
    program = gives({"B1": number("3"), "C1": number("1")}, {"B1": number("14"), "C1": number("0")})
    found, problems = edit(a_book(CHAIN), {"A1": D(7)}, program)  # type: ignore[arg-type]
    assert found is not None
    assert '<c r="B1"><f>A1*2</f></c><c r="C1"><f>B1&gt;1</f><v>0</v></c>' in rows_of(found.data)
    (problem,) = problems
    assert problem.code == "formulas-to-work-out"
    assert problem.message.endswith("as they were stored before: S!B1")
    assert 'fullCalcOnLoad="1"' in part_of(found.data, raw.BOOK)


def test_a_program_that_fails() -> None:
    """Then results are taken away, as where there is none; the reason is told."""

    def fail(*_: object) -> WorkedOut:
        raise CannotWorkOut("it had no time")

    found, problems = edit(a_book(CHAIN), {"A1": D(7)}, fail)
    assert found is not None
    assert [one.cell for one in found.calculated if one.emptied] == ["B1", "C1"]
    assert "because it had no time: S!B1, S!C1" in problems[0].message


def test_no_program() -> None:
    """Only results that hang on the change go; the twelve first are named."""
    rows = "".join(f'<row r="{n}"><c r="A{n}"><f>$Z$99</f><v>{n}</v></c></row>' for n in range(1, 20))
    found, problems = edit(a_book(rows), {"Z99": D(1)})
    assert found is not None and len(found.calculated) == 19
    assert problems[0].message.endswith("S!A12 and 7 more")
    assert "<v>9</v>" not in rows_of(found.data)


def test_a_workbook_that_is_worked_out_only_when_told() -> None:
    book = str(raw.parts()[raw.BOOK]).replace("</sheets>", '</sheets><calcPr calcMode="manual"/>')
    _, problems = edit(a_book(CHAIN, more={raw.BOOK: book}), {"A1": D(7)})
    assert "have it worked out" in problems[0].remedy


ASKS = '<calcPr fullCalcOnLoad="1"/>'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("<calcPr/>", '<calcPr fullCalcOnLoad="1"/>'),
        ('<calcPr fullCalcOnLoad="0" calcId="1"/>', '<calcPr fullCalcOnLoad="1" calcId="1"/>'),
        ("<definedNames/>", '<definedNames/><calcPr fullCalcOnLoad="1"/>'),
        ("<definedNames></definedNames><oleSize/>", f"<definedNames></definedNames>{ASKS}<oleSize/>"),
        ("<externalReferences></externalReferences>", f"<externalReferences></externalReferences>{ASKS}"),
    ],
)
def test_asking_to_be_worked_out(before: str, after: str) -> None:
    """In the place that the format gives it (from memory; the Open XML SDK agrees over many workbooks)."""
    head, tail = "<workbook><sheets></sheets>", "</workbook>"
    assert worked_out_when_opened(f"{head}{before}{tail}".encode()).decode() == f"{head}{after}{tail}"


EXTENSION = '<extLst><ext xmlns:x14="urn:x"><x14:definedNames></x14:definedNames></ext></extLst>'


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (EXTENSION, f"{ASKS}{EXTENSION}"),
        ("<!-- <calcPr/> --><calcPr/>", f"<!-- <calcPr/> -->{ASKS}"),
        ("<!-- </definedNames> -->", f"{ASKS}<!-- </definedNames> -->"),
        ("<extLst><ext><calcPr/></ext></extLst>", f"{ASKS}<extLst><ext><calcPr/></ext></extLst>"),
    ],
)
def test_asking_is_not_put_into_a_comment_or_an_extension(before: str, after: str) -> None:
    """The workbook's own element counts; what only looks like it, or like one before it, is left alone."""
    head, tail = "<workbook><sheets><sheet/></sheets>", "</workbook>"
    assert worked_out_when_opened(f"{head}{before}{tail}".encode()).decode() == f"{head}{after}{tail}"


def test_a_workbook_part_without_sheets() -> None:
    with pytest.raises(BadPackage):
        worked_out_when_opened(b"<workbook/>")


def test_what_was_made_is_read_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """Should a fault of ours leave a cell as it was, nothing is given out."""
    monkeypatch.setattr("quotekit.workbook.in_place.edit_workbook.with_cells", lambda cells, new, results: cells.data)
    found, problems = edit(a_book(CELL), {"A1": D(2)})
    assert found is None
    assert codes(problems) == [("change-not-made", "A1")]


def test_macros_stay() -> None:
    """Byte for byte, with everything else of the workbook."""
    data = awkward.everything(macros=True)
    found, _ = edit_workbook("shop.xlsm", data, [Change("Parts", "B3", D("9.5"))])
    assert found is not None
    worked = {
        (
            "xl/worksheets/sheet1.xml"
            if one.sheet == "Parts"
            else f"xl/worksheets/sheet{2 if one.sheet == 'Sums' else 3}.xml",
            one.cell,
        )
        for one in found.calculated
    }
    assert collateral(data, found.data, {("xl/worksheets/sheet1.xml", "B3")}, worked) == []
    with zipfile.ZipFile(io.BytesIO(data)) as before, zipfile.ZipFile(io.BytesIO(found.data)) as after:
        assert before.read("xl/vbaProject.bin") == after.read("xl/vbaProject.bin")


def test_a_text_with_its_looks_is_put_back() -> None:
    """The runs of a shared text become those of the cell."""
    runs = "<r><rPr><b/></rPr><t>bo</t></r><r><t>ld</t></r>"
    data = a_book('<row r="1"><c r="A1" t="s"><v>1</v></c></row>', more={raw.STRINGS: raw.strings("<t>a</t>", runs)})
    found = edited(data, {"A1": D(5)})
    assert found.cells[0].old == Content(kind="text", text="bold", rich=runs)
    back = edited(found.data, {"A1": found.cells[0].old})
    assert rows_of(back.data) == f'<row r="1"><c r="A1" t="inlineStr"><is>{runs}</is></c></row>'


def test_a_text_that_is_not_there() -> None:
    found, problems = edit(a_book('<row r="1"><c r="A1" t="s"><v>7</v></c></row>'), {"A1": D(5)})
    assert found is None
    assert codes(problems) == [("broken-workbook", "")]


@pytest.mark.parametrize(
    ("cell", "old"),
    [
        ('<c r="A1" t="e"><v>#N/A</v></c>', Content(kind="error", text="#N/A")),
        ('<c r="A1" t="d"><v>2026-01-01</v></c>', Content(kind="day", text="2026-01-01")),
        ('<c r="A1" t="b"><v>true</v></c>', Content(kind="boolean", text="1")),
        ('<c r="A1"><v>1.50</v></c>', Content(kind="number", text="1.50")),
        ('<c r="A1" t="str"><v>a_x000D_</v></c>', Content(kind="text", text="a\r")),
        ('<c r="A1" t="inlineStr"><is><t>a</t><rPh sb="0" eb="1"><t>b</t></rPh></is></c>',
         Content(kind="text", text="a", rich='<t>a</t><rPh sb="0" eb="1"><t>b</t></rPh>')),
        ('<c r="A1"/>', NOTHING),
    ],
)  # fmt: skip
def test_what_was_there_can_be_put_back(cell: str, old: Content) -> None:
    """Of every kind a cell can be."""
    data = a_book(f'<row r="1">{cell}</row>')
    found = edited(data, {"A1": D(77)})
    assert found.cells[0].old == old
    again = edited(found.data, {"A1": old})
    assert edited(again.data, {"A1": D(77)}).cells[0].old == old


def test_records_as_json() -> None:
    """What a ledger keeps is what it gets back."""
    from quotekit.workbook.in_place.changes import CalculatedCell, ChangedCell, ChangedFile

    record = ChangedFile(
        file="a",
        before="b",
        after="c",
        kept="d",
        cells=(ChangedCell(sheet="S", cell="A1", old=NOTHING, new=Content(kind="text", text="x", rich="<t>x</t>")),),
        calculated=(CalculatedCell(sheet="S", cell="B1", old=number("1"), new=NOTHING),),
    )
    assert from_json(ChangedFile, to_json(record)) == record
    for name, wrong in (
        ("cells", 3),
        ("calculated", None),
        ("cells", [{"sheet": "S", "cell": "A", "old": 3, "new": []}]),
    ):
        with pytest.raises(UnreadableRecord):
            from_json(ChangedFile, to_json(record) | {name: wrong})
