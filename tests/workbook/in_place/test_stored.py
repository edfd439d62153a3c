"""What a cell of the file holds: typed, shared, with runs, with a reading aid, in any prefix."""

from __future__ import annotations

import pytest

from quotekit.workbook.in_place.contents import NOTHING, Content
from quotekit.workbook.in_place.sheet_cells import find_cells
from quotekit.workbook.in_place.stored import shared_texts, stored_content, wanted_texts
from quotekit.workbook.package import BadPackage, package_of
from tests.workbook import raw_workbooks as raw
from tests.workbook.in_place.small_books import a_book

RICH = "<r><rPr><b/></rPr><t>bo</t></r><r><t>ld</t></r>"
READ_SO = '<t>base</t><rPh sb="0" eb="4"><t>beis</t></rPh><phoneticPr fontId="1"/>'


def texts(*inside: str, prefix: str = "") -> dict[int, Content]:
    """The shared texts of these entries."""
    part = raw.strings(*inside)
    if prefix:
        part = part.replace("</", f"</{prefix}:").replace("<sst xmlns=", f"<{prefix}:sst xmlns:{prefix}=")
        part = part.replace("<si>", f"<{prefix}:si>").replace("<t>", f"<{prefix}:t>")
    package = package_of("b.xlsx", a_book(more={raw.STRINGS: part}))
    return shared_texts(package, raw.STRINGS, range(len(inside)))


@pytest.mark.parametrize(
    ("inside", "text", "rich"),
    [
        ("<t>belt</t>", "belt", ""),
        ("<t/>", "", "<t/>"),
        ('<t xml:space="preserve"> a  b </t>', " a  b ", ""),
        ("<t>a_x000D_b &amp; &lt;c&gt;</t>", "a\rb & <c>", ""),
        ("<t>_x005F_x0041_</t>", "_x0041_", ""),
        (RICH, "bold", RICH),
        (READ_SO, "base", READ_SO),
        ("<t><![CDATA[a<b]]></t>", "a<b", "<t><![CDATA[a<b]]></t>"),
        ("", "", ""),
    ],
)
def test_shared_texts(inside: str, text: str, rich: str) -> None:
    """The text without its reading aid; what is more than plain is kept as it is written."""
    assert texts("<t>first</t>", inside)[1] == Content(kind="text", text=text, rich=rich)


def test_shared_texts_with_a_prefix() -> None:
    """Their runs can't be put into a sheet without one, so the plain text is kept."""
    assert texts("<t>belt</t>", "<t>hub</t>", prefix="x") == {
        0: Content(kind="text", text="belt"),
        1: Content(kind="text", text="hub"),
    }


def test_only_what_is_wanted() -> None:
    """Nothing is read where no text is asked for, and no part where there is none."""
    package = package_of("b.xlsx", a_book())
    assert shared_texts(package, raw.STRINGS, ()) == {}
    assert shared_texts(package, "", {0}) == {}
    assert shared_texts(package, raw.STRINGS, {1, 9}) == {1: Content(kind="text", text="second")}


def held(cell: str, known: dict[int, Content] | None = None) -> Content:
    """What a cell A1 holds."""
    data = f'<s><sheetData><row r="1">{cell}</row></sheetData></s>'.encode()
    cells = find_cells("S", data, {(1, 1)})
    return stored_content(cells, cells.cells.get((1, 1)), known or {})


@pytest.mark.parametrize(
    ("cell", "content"),
    [
        ("", NOTHING),
        ('<c r="A1"/>', NOTHING),
        ('<c r="A1"><v/></c>', NOTHING),
        ('<c r="A1"><v> </v></c>', NOTHING),
        ('<c r="A1"><f>1</f></c>', NOTHING),
        ('<c r="A1" t="str"><f>""</f><v></v></c>', Content(kind="text")),
        ('<c r="A1"><v>1E3</v></c>', Content(kind="number", text="1E3")),
        ('<c r="A1" t="n"><v>1</v></c>', Content(kind="number", text="1")),
        ('<c r="A1" t="b"><v>false</v></c>', Content(kind="boolean", text="0")),
        ('<c r="A1" t="e"><v>#REF!</v></c>', Content(kind="error", text="#REF!")),
        ('<c r="A1" t="odd"><v>x</v></c>', Content(kind="error", text="x")),
        ('<c r="A1" t="inlineStr"/>', NOTHING),
        ('<c r="A1" t="inlineStr"><is/></c>', Content(kind="text")),
        ('<c r="A1" t="inlineStr"><is><t>a</t></is></c>', Content(kind="text", text="a")),
        (f'<c r="A1" t="inlineStr"><is>{RICH}</is></c>', Content(kind="text", text="bold", rich=RICH)),
        (f'<c r="A1" t="inlineStr"><is>{READ_SO}</is></c>', Content(kind="text", text="base", rich=READ_SO)),
        ('<c r="A1"><v><![CDATA[12]]></v></c>', Content(kind="number", text="12")),
        ('<c r="A1"><v>1<!-- no -->2</v></c>', Content(kind="number", text="12")),
        ('<c r="A1"><f>B1</f><v>7</v><extLst><ext><t>no</t></ext></extLst></c>', Content(kind="number", text="7")),
    ],
)
def test_contents(cell: str, content: Content) -> None:
    assert held(cell) == content


@pytest.mark.parametrize("value", ["3", "-1", "x", ""])
def test_a_text_that_is_not_there(value: str) -> None:
    with pytest.raises(BadPackage):
        held(f'<c r="A1" t="s"><v>{value}</v></c>', {0: Content(kind="text", text="a")})


def test_wanted_texts() -> None:
    """The numbers that cells show; one that is no number is found out when it is read."""
    data = (
        b'<s><sheetData><row r="1"><c r="A1" t="s"><v>4</v></c><c r="B1" t="s"><v>x</v></c><c r="C1" t="s"/>'
        b'<c r="D1"><v>9</v></c></row></sheetData></s>'
    )
    cells = find_cells("S", data, {(1, column) for column in range(1, 5)})
    assert wanted_texts(cells.cells.values()) == {4}
