"""A small good workbook and the faults planted in it, one at a time, to test the test."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from datetime import datetime

import xlsxwriter

from tests.conformity.package_parts import Parts

SHOP = "Mill Lane Repairs"
SHEET, BOOK, CORE, APP = "xl/worksheets/sheet1.xml", "xl/workbook.xml", "docProps/core.xml", "docProps/app.xml"
BOOK_RELATIONS = "xl/_rels/workbook.xml.rels"

Plant = Callable[[bytes], bytes]


def good_workbook() -> bytes:
    """Texts, numbers, formulas, merged cells, a drop-down, a chart, a hidden sheet and names: nothing wrong."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"author": SHOP, "company": SHOP, "created": datetime(2026, 3, 2)})
    quote, working = book.add_worksheet("Quote"), book.add_worksheet("Working")
    working.hide()
    quote.write_row("A1", ["Option", "Put right", 12.5])
    quote.write_row("A2", ["Labor", "at the bench", 90])
    quote.merge_range("A3:B3", "Total")
    quote.write_formula("C3", "=SUM(C1:C2)", None, 102.5)
    quote.merge_range("A5:B5", "Your choice")
    quote.write_string("C5", "")
    quote.data_validation("C5", {"validate": "list", "source": ["good", "better"]})
    quote.write_formula("C6", '=IF(OR(chosen_tier="good",total_to_pay>5),MAX(Working!A1,1),0)', None, 7)
    working.write_number("A1", 7)
    working.write_formula("A2", '=IF(A1=7,"seven","")', None, "seven")
    chart = book.add_chart({"type": "line"})
    chart.add_series({"values": "=Working!$A$1:$A$2", "name": "Put right"})
    quote.insert_chart("A8", chart)
    book.define_name("chosen_tier", "=Quote!$C$5")
    book.define_name("total_to_pay", "=Quote!$C$3")
    book.close()
    return stream.getvalue()


def packed(parts: Parts) -> bytes:
    """The parts as a package again."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        for name in parts.names:
            package.writestr(name, parts.data[name])
    return stream.getvalue()


def swap(part: str, old: str, new: str) -> Plant:
    """Replace a text of a part, once; it must be there."""

    def plant(workbook: bytes) -> bytes:
        parts = Parts.of(workbook)
        text = parts.data[part].decode()
        assert old in text, (part, old, text)
        parts.data[part] = text.replace(old, new, 1).encode()
        return packed(parts)

    return plant


def part(name: str, data: str = "<a/>") -> Plant:
    """One more part."""

    def plant(workbook: bytes) -> bytes:
        parts = Parts.of(workbook)
        parts.names.append(name)
        parts.data[name] = data.encode()
        return packed(parts)

    return plant


def formula(text: str) -> Plant:
    """Another formula in C3."""
    return swap(SHEET, "<f>SUM(C1:C2)</f>", f"<f>{text}</f>")


ROW_2 = '<row r="2"'
NAMED = '<definedName name="chosen_tier">Quote!$C$5</definedName>'
RULE = '<formula1>"good,better"</formula1>'

PLANTS: dict[str, tuple[Plant, str]] = {
    "a text number out of range": (swap(SHEET, '<c r="A1" t="s"><v>0<', '<c r="A1" t="s"><v>99<'), "text number 99"),
    "a negative text number": (swap(SHEET, '<c r="A1" t="s"><v>0<', '<c r="A1" t="s"><v>-1<'), "text number -1"),
    "a cell twice": (swap(SHEET, '<c r="B1" t="s"><v>1</v></c>', '<c r="B1"><v>1</v></c><c r="B1"/>'), "twice"),
    "a row out of order": (swap(SHEET, ROW_2, '<row r="9"/><row r="2"'), "after row 9"),
    "a row twice": (swap(SHEET, ROW_2, '<row r="2"/><row r="2"'), "after row 2"),
    "a row without a number": (swap(SHEET, ROW_2, "<row"), "row 0"),
    "cells out of order": (swap(SHEET, '<c r="A1"', '<c r="D1"/><c r="A1"'), "after a later one"),
    "a cell of another row": (swap(SHEET, '<c r="A1"', '<c r="A9"'), "not of row 1"),
    "a number that is none": (swap(SHEET, "<v>12.5</v>", "<v>12,5</v>"), "no number"),
    "not a number": (swap(SHEET, "<v>12.5</v>", "<v>NaN</v>"), "no number"),
    "too large a number": (swap(SHEET, "<v>12.5</v>", "<v>1E+999</v>"), "no number"),
    "an empty number": (swap(SHEET, "<v>12.5</v>", "<v></v>"), "no number"),
    "neither true nor false": (swap(SHEET, '<c r="C1"><v>12.5', '<c r="C1" t="b"><v>2'), "neither true nor false"),
    "a kind of cell that is none": (swap(SHEET, '<c r="C1">', '<c r="C1" t="x">'), "a cell of kind x"),
    "an error value": (swap(SHEET, '<c r="C1"><v>12.5', '<c r="C1" t="e"><v>#REF!'), "error value"),
    "overlapping merges": (swap(SHEET, 'ref="A5:B5"', 'ref="B3:C5"'), "overlap"),
    "a merge of one cell": (swap(SHEET, 'ref="A5:B5"', 'ref="A5"'), "merged with itself"),
    "a list too long": (swap(SHEET, RULE, f'<formula1>"{"a" * 256}"</formula1>'), "a list of 256"),
    "a list of nothing": (swap(SHEET, RULE, ""), "a list of nothing"),
    "a list from a dead range": (swap(SHEET, RULE, "<formula1>#REF!</formula1>"), "dead reference"),
    "a list from a lost sheet": (swap(SHEET, RULE, "<formula1>Lists!$A$1:$A$3</formula1>"), "sheet that is not there"),
    "a prompt too long": (swap(SHEET, "<dataValidation ", f'<dataValidation prompt="{"a" * 256}" '), "prompt of 256"),
    "a dead name": (swap(BOOK, NAMED, NAMED.replace("Quote!$C$5", "#REF!")), "dead reference"),
    "a name of half a dead range": (swap(BOOK, NAMED, NAMED.replace("$C$5", "#REF!")), "dead reference"),
    "a name of a lost sheet": (swap(BOOK, NAMED, NAMED.replace("Quote!", "Costs!")), "sheet that is not there"),
    "a name of a lost quoted sheet": (swap(BOOK, NAMED, NAMED.replace("Quote!", "'My costs'!")), "not there, My costs"),
    "a name of nothing": (swap(BOOK, NAMED, NAMED.replace("Quote!$C$5", "")), "refers to nothing"),
    "a name twice": (swap(BOOK, NAMED, NAMED + NAMED.replace("chosen", "CHOSEN")), "defined twice"),
    "a name with a hyphen": (swap(BOOK, NAMED, NAMED + NAMED.replace("chosen_tier", "extra_A-1")), "not a name"),
    "a name like a cell": (swap(BOOK, NAMED, NAMED + NAMED.replace("chosen_tier", "AB12")), "not a name"),
    "a formula with no value": (swap(SHEET, "</f><v>102.5</v>", "</f>"), "without a stored value"),
    "a formula with an empty value": (swap(SHEET, "</f><v>102.5</v>", "</f><v></v>"), "without a stored value"),
    "an array formula": (swap(SHEET, "<f>SUM", '<f t="array" ref="C3">SUM'), "of kind array"),
    "a function that is not shared": (formula("XLOOKUP(C1,C1:C2,C1:C2)"), "the function XLOOKUP"),
    "a function that fetches": (formula("WEBSERVICE(&quot;http://127.0.0.1/&quot;)"), "the function WEBSERVICE"),
    "a future function": (formula("_xlfn.CONCAT(C1,C2)"), "the function _XLFN.CONCAT"),
    "a rounding function": (formula("ROUND(C1,2)"), "the function ROUND"),
    "a formula too long": (formula("+".join(["C1000"] * 1366)), "a formula of 81"),
    "a formula too deep": (formula("ABS(" * 65 + "1" + ")" * 65), "65 levels"),
    "too many arguments": (formula(f"SUM({','.join(['1'] * 61)})"), "61 arguments"),
    "too long a text in a formula": (formula(f"&quot;{'a' * 256}&quot;"), "a text of 256"),
    "brackets that do not match": (formula("SUM(C1:C2"), "brackets"),
    "a broken formula": (formula("SUM(C1:C2)]"), "no formula of ours"),
    "a formula of a lost sheet": (formula("Costs!A1"), "sheet that is not there, Costs"),
    "a formula of a lost name": (formula("chosen_colour"), "name that is not there"),
    "a formula of another workbook": (formula("[1]Sheet1!A1"), "no formula of ours"),
    "a data exchange": (formula("cmd|'/c calc'!A1"), "no formula of ours"),
    "a chart of a lost sheet": (swap("xl/charts/chart1.xml", "Working!$A$1", "Costs!$A$1"), "not there, Costs"),
    "a hyperlink": (swap(SHEET, "<pageMargins", "<hyperlinks/><pageMargins"), "a hyperlink"),
    "a link to the outside": (
        swap(BOOK_RELATIONS, "</Relationships>", '<Relationship TargetMode="External" Target="http://x/"/></Relationships>'),
        "a link to the outside",
    ),
    "a link to another workbook": (part("xl/externalLinks/externalLink1.xml"), "another workbook"),
    "a macro": (part("xl/vbaProject.bin", ""), "a macro"),
    "a connection": (part("xl/connections.xml"), "a connection"),
    "a comment": (part("xl/comments1.xml"), "a comment"),
    "a comment of the newer kind": (part("xl/threadedComments/threadedComment1.xml"), "a comment"),
    "a custom property": (part("docProps/custom.xml"), "a custom property"),
    "hidden data": (part("customXml/item1.xml"), "hidden data"),
    "an embedded file": (part("xl/embeddings/oleObject1.bin", ""), "an embedded file"),
    "a part twice": (part("XL/Workbook.xml"), "stands there twice"),
    "an entity": (swap(SHEET, "?>", "?><!DOCTYPE a>"), "a document type"),
    "two sheets of one name": (swap(BOOK, 'name="Working"', 'name="QUOTE"'), "two sheets of one name"),
    "too long a sheet name": (swap(BOOK, 'name="Working"', f'name="{"a" * 32}"'), "not a name of a sheet"),
    "another author": (swap(CORE, f"<dc:creator>{SHOP}", "<dc:creator>J. Doe"), "creator says"),
    "who saved it last": (swap(CORE, f"<cp:lastModifiedBy>{SHOP}", "<cp:lastModifiedBy>J. Doe"), "lastModifiedBy says"),
    "another company": (swap(APP, f"<Company>{SHOP}", "<Company>Zyxq Supply"), "Company says"),
    "a manager": (swap(APP, "<Company>", "<Manager>J. Doe</Manager><Company>"), "Manager says"),
    "a title": (swap(CORE, "<dc:creator>", "<dc:title>Quote 117</dc:title><dc:creator>"), "title says"),
    "a description": (swap(CORE, "<dc:creator>", "<dc:description>cost 8</dc:description><dc:creator>"), "description"),
    "keywords": (swap(CORE, "<dc:creator>", "<cp:keywords>Zyxq</cp:keywords><dc:creator>"), "keywords says"),
    "a time of writing": (swap(CORE, "T00:00:00Z", "T14:32:07Z"), "created says"),
    "a base for links": (swap(APP, "<Company>", "<HyperlinkBase>http://x/</HyperlinkBase><Company>"), "HyperlinkBase"),
}  # fmt: skip
"""How to plant each fault, and words of what the lint then says."""
