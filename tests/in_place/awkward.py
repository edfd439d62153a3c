"""Workbooks that are hard to change without harm, made anew for each run: by two libraries, by hand and by LibreOffice.

None comes from another program's files. The macros are bytes that no program would run: only that they stay is tried.
"""

from __future__ import annotations

import io
import struct
import subprocess
import zipfile
import zlib
from collections.abc import Callable, Mapping
from datetime import datetime
from pathlib import Path

import openpyxl
import xlsxwriter
from openpyxl.chart import BarChart, Reference
from openpyxl.comments import Comment
from openpyxl.worksheet.datavalidation import DataValidation

from tests.workbook import raw_workbooks as raw

Parts = dict[str, bytes]


def png() -> bytes:
    """A picture of one dot."""
    line = zlib.compress(b"\0\xff\x80\x00")
    chunks = (
        (b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)),
        (b"IDAT", line),
        (b"IEND", b""),
    )
    body = b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data)) for kind, data in chunks
    )
    return b"\x89PNG\r\n\x1a\n" + body


def everything(*, macros: bool = False, date_1904: bool = False) -> bytes:
    """All that XlsxWriter knows: tables, charts, comments, pictures, extensions, checkboxes, arrays, text boxes."""
    held = io.BytesIO()
    book = xlsxwriter.Workbook(held, {"in_memory": True, "date_1904": date_1904})
    bold, money = (
        book.add_format({"bold": True}),
        book.add_format({"num_format": '#,##0.00" €"', "bg_color": "#FFEE00"}),
    )
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    page = book.add_worksheet("Parts")
    page.set_column("A:A", 14, bold)
    page.set_column("G:H", 11, money)
    page.set_row(40, 30, day)
    for row in range(1, 31):
        page.write_string(row, 0, f"P-{row:03}")
        page.write_number(row, 1, row * 1.25, money)
        page.write_formula(row, 2, f"=B{row + 1}*Rate", money, row * 2.5)
        page.write_datetime(row, 3, datetime(2026, 1, row), day)
        page.write_boolean(row, 4, row % 2 == 0)
        page.write_formula(row, 5, f"=SUM($B$2:B{row + 1})", None, row * (row + 1) * 0.625)
    page.write_row("A1", ["Code", "Cost", "Price", "Day", "Kept", "Sum"], bold)
    page.write_rich_string("G2", "old ", bold, "and", " new")
    page.insert_checkbox("H2", True)
    page.insert_checkbox("H3", False)
    page.write_comment("B3", "asked in spring", {"author": "the owner"})
    page.conditional_format("B2:B31", {"type": "data_bar", "data_bar_2010": True})
    page.conditional_format("C2:C31", {"type": "icon_set", "icon_style": "3_arrows"})
    page.conditional_format("F2:F31", {"type": "formula", "criteria": "=$F2>100", "format": bold})
    page.add_sparkline("I2", {"range": "Parts!B2:B31"})
    page.data_validation("E2:E31", {"validate": "list", "source": ["TRUE", "FALSE"]})
    page.data_validation("B2:B31", {"validate": "decimal", "criteria": ">=", "value": 0})
    page.insert_image("K2", "dot.png", {"image_data": io.BytesIO(png())})
    page.insert_textbox("K8", "prices of spring")
    page.set_header("&L&G", {"image_left": "dot.png", "image_data_left": io.BytesIO(png())})
    page.set_background(io.BytesIO(png()))
    page.ignore_errors({"number_stored_as_text": "A1:A40"})
    page.autofilter("A1:F31")
    page.freeze_panes(1, 1)
    chart = book.add_chart({"type": "column"})
    chart.add_series({"categories": "=Parts!$A$2:$A$9", "values": "=Parts!$B$2:$B$9"})
    page.insert_chart("K14", chart)
    _second_sheet(book, money)
    book.define_name("Rate", "=Sums!$B$1")
    if macros:
        book.add_vba_project(io.BytesIO(b"\xd0\xcf\x11\xe0not a project" * 40), is_stream=True)
        page.insert_button("K30", {"macro": "say", "caption": "Press"})
    book.close()
    return _without_leading_slash(held.getvalue())


def _without_leading_slash(data: bytes) -> bytes:
    """The library names the links of pictures in cells from the root; no other does, and the guard refuses it."""
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        return raw.packed({name.lstrip("/"): package.read(name) for name in package.namelist()})


def _second_sheet(book: xlsxwriter.Workbook, money: object) -> None:
    """Arrays, merged cells, a table, a picture in a cell, a protected sheet."""
    page = book.add_worksheet("Sums")
    page.write_row("A1", ["Rate", 2])
    page.write_array_formula("D1:D3", "{=Parts!B2:B4*2}", None, 2.5)
    page.write_number("D2", 5)
    page.write_number("D3", 7.5)
    page.write_dynamic_array_formula("E1:E2", "=Parts!B2:B3*3", None, 3.75)
    page.write_number("E2", 7.5)
    page.write_formula("A3", "=SUM(Parts!B:B)+D2", money, 586.25)
    page.write_formula("A4", '=IF(A3>100,"much","little")', None, "much")
    page.write_formula("A5", "=A3/0", None, "#DIV/0!")
    page.write_formula("A6", '=INDIRECT("Parts!B2")', None, 1.25)
    page.write_formula("A7", "=SUM(Costs[Cost])+SUM('My last'!A1:A3)", None, 66)
    page.merge_range("G1:H2", "merged", money)
    page.merge_range("G4:H5", 12, money)
    page.add_table("A10:C14", {"name": "Costs", "total_row": True, "columns": [
        {"header": "Code", "total_string": "All"},
        {"header": "Cost", "total_function": "sum", "total_value": 60},
        {"header": "Twice", "formula": "=[@Cost]*2"},
    ]})  # fmt: skip
    for row, cost in enumerate((10, 20, 30), start=10):
        page.write_row(row, 0, [f"T{row}", cost])
        page.write_formula(row, 2, "=Costs[[#This Row],[Cost]]*2", None, cost * 2)
    page.embed_image("J1", "dot.png", {"image_data": io.BytesIO(png())})
    last = book.add_worksheet("My last")
    last.write_column("A1", [1, 2, 3])
    last.write_formula("B1", "=Sums!A7*10", None, 660)
    last.protect("", {"format_cells": True})
    last.hide()


def from_openpyxl() -> bytes:
    """What openpyxl writes: no stored results, `inlineStr` never, a chart, a comment, a drop-down."""
    book = openpyxl.Workbook()
    page = book.active
    page.title = "Operations"
    for row in range(1, 26):
        page.append([f"O{row}", row / 4, f"=B{row}*2", True, None, f"text {row}"])
    page["B2"].comment = Comment("timed in spring", "the owner")
    drop = DataValidation(type="list", formula1='"Yes,No"')
    page.add_data_validation(drop)
    drop.add("E1:E25")
    chart = BarChart()
    chart.add_data(Reference(page, min_col=2, min_row=1, max_row=9))
    page.add_chart(chart, "H2")
    page.merge_cells("J1:K3")
    book.create_sheet("Äußere Maße")["B2"] = "=Operations!B2+1"
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


def by_hand() -> Parts:
    """Written as no program writes it: prefixes, cells and rows without an address, comments, CDATA, odd quotes."""
    parts = {name: part.encode() if isinstance(part, str) else part for name, part in raw.parts().items()}
    rows = (
        '<x:row><x:c><x:v>1</x:v></x:c><x:c t="s"><x:v>0</x:v></x:c><x:c/><x:c r="F1" s="1"/></x:row>'
        '<x:row spans="2:3" r="4"><x:c r="B4" t="inlineStr"><x:is><x:r><x:t>rich</x:t></x:r></x:is></x:c>'
        "<!-- a word --><x:c r='C4' s='5'><x:v>46000</x:v></x:c></x:row>"
        '<x:row r="6" s="2" customFormat="1"/>'
        '<x:row r="7"><x:c r="A7" t="str"><x:f>A1&amp;"&lt;"</x:f><x:v>1&lt;</x:v></x:c>'
        '<x:c r="B7"><x:f t="shared" ref="B7:B9" si="0">A1+A$4</x:f><x:v>1</x:v></x:c>'
        '<x:c r="C7" s="3" ><x:v><![CDATA[12.5]]></x:v><x:extLst><x:ext uri="{A}"/></x:extLst></x:c></x:row>'
        '<x:row r="8"><x:c r="B8"><x:f t="shared" si="0"/><x:v>0</x:v></x:c></x:row>'
        '<x:row r="9"><x:c r="B9"><x:f t="shared" si="0"/><x:v>0</x:v></x:c>'
        '<x:c r="D9" t="e"><x:v>#N/A</x:v></x:c></x:row>'
    )
    parts[raw.SHEET] = (
        f'\ufeff<?xml version="1.0" encoding="UTF-8"?>\r\n<x:worksheet xmlns:x="{raw.MAIN}">'
        '<x:dimension ref="A1:F9"/><x:cols><x:col min="8" max="16384" width="9" style="3"/></x:cols>'
        f"<x:sheetData>{rows}</x:sheetData>"
        '<x:mergeCells count="1"><x:mergeCell ref="K1:L2"/></x:mergeCells></x:worksheet>'
    ).encode()
    parts["xl/strings"] = parts[raw.STRINGS]
    parts["customXml/item1.xml"] = b"<kept/>"
    return parts


def empty_sheet() -> Parts:
    """A sheet whose table of cells is one closed tag."""
    text = f'<worksheet xmlns="{raw.MAIN}"><dimension ref="A1"/><sheetData/></worksheet>'
    return {name: part.encode() if isinstance(part, str) else part for name, part in raw.parts().items()} | {
        raw.SHEET: text.encode()
    }


def linked() -> Parts:
    """A link to another workbook, slicers, threaded comments and a pivot table, as far as their parts go."""
    with zipfile.ZipFile(io.BytesIO(everything())) as package:
        parts = {name: package.read(name) for name in package.namelist()}
    link(parts, b"[1]Old!A1+Parts!B2", b"3.25")
    return parts


def link(parts: Parts, formula: bytes, result: bytes) -> None:
    """Put a link to another workbook into the second sheet, and slicers, threaded comments and a pivot table beside."""
    parts["xl/worksheets/sheet2.xml"] = parts["xl/worksheets/sheet2.xml"].replace(
        b"</sheetData>",
        b'<row r="60"><c r="A60"><f>' + formula + b"</f><v>" + result + b"</v></c></row></sheetData>",
    )
    parts["xl/workbook.xml"] = parts["xl/workbook.xml"].replace(
        b"<definedNames>", b'<externalReferences><externalReference r:id="rIdLink"/></externalReferences><definedNames>'
    )
    _related(parts, "xl/workbook.xml", "rIdLink", "externalLink", "externalLinks/externalLink1.xml")
    parts["xl/externalLinks/externalLink1.xml"] = (
        f'<externalLink xmlns="{raw.MAIN}" xmlns:r="{raw.RELATIONS}"><externalBook r:id="rId1"><sheetNames>'
        '<sheetName val="Old"/></sheetNames><sheetDataSet><sheetData sheetId="0"><row r="1"><cell r="A1"><v>2</v>'
        "</cell></row></sheetData></sheetDataSet></externalBook></externalLink>"
    ).encode()
    parts["xl/externalLinks/_rels/externalLink1.xml.rels"] = (
        f'<Relationships xmlns="{raw.PACKAGE}/relationships"><Relationship Id="rId1" '
        f'Type="{raw.RELATIONS}/externalLinkPath" Target="old.xlsx" TargetMode="External"/></Relationships>'
    ).encode()
    _pivot(parts)
    parts["xl/slicers/slicer1.xml"] = (
        b'<slicers xmlns="http://schemas.microsoft.com/office/spreadsheetml/2009/9/main"/>'
    )
    parts["xl/threadedComments/threadedComment1.xml"] = b"<kept/>"


def _pivot(parts: Parts) -> None:
    parts["xl/pivotTables/pivotTable1.xml"] = (
        f'<pivotTableDefinition xmlns="{raw.MAIN}" name="P" cacheId="1"><location ref="M20:N24" '
        'firstHeaderRow="1" firstDataRow="1" firstDataCol="1"/></pivotTableDefinition>'
    ).encode()
    parts["xl/pivotCache/pivotCacheDefinition1.xml"] = (
        f'<pivotCacheDefinition xmlns="{raw.MAIN}"><cacheSource type="worksheet">'
        '<worksheetSource ref="A1:C31" sheet="Parts"/></cacheSource></pivotCacheDefinition>'
    ).encode()
    _related(parts, "xl/worksheets/sheet1.xml", "rIdPivot", "pivotTable", "../pivotTables/pivotTable1.xml")


def _related(parts: Parts, part: str, key: str, kind: str, target: str) -> None:
    folder, _, base = part.rpartition("/")
    name = f"{folder}/_rels/{base}.rels"
    link = f'<Relationship Id="{key}" Type="{raw.RELATIONS}/{kind}" Target="{target}"/></Relationships>'
    parts[name] = parts[name].replace(b"</Relationships>", link.encode())


class _NoSeek(io.RawIOBase):
    """A stream that only goes forward: the zip tells its sizes behind each member."""

    def __init__(self) -> None:
        self.data = bytearray()

    def writable(self) -> bool:
        return True

    def write(self, piece: object) -> int:
        self.data += memoryview(piece)  # type: ignore[arg-type]
        return len(memoryview(piece))  # type: ignore[arg-type]


def described(parts: Mapping[str, bytes]) -> bytes:
    """A zip whose sizes stand behind the members."""
    stream = _NoSeek()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:  # type: ignore[call-overload]
        for name, data in parts.items():
            package.writestr(name, data)
    return bytes(stream.data)


def described_wide(parts: Mapping[str, bytes]) -> bytes:
    """The same with sizes of 64 bits behind the members."""
    stream = _NoSeek()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:  # type: ignore[call-overload]
        for name, data in parts.items():
            with package.open(zipfile.ZipInfo(name), "w", force_zip64=True) as out:
                out.write(data)
    return bytes(stream.data)


def wide(parts: Mapping[str, bytes]) -> bytes:
    """A zip with fields of 64 bits in each head, extra fields, a comment, and members that are not packed."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_STORED) as package:
        for number, (name, data) in enumerate(parts.items()):
            info = zipfile.ZipInfo(name, (2020, 2, 3, 4, 5, 6))
            info.compress_type = zipfile.ZIP_STORED if number % 2 else zipfile.ZIP_DEFLATED
            info.extra = struct.pack("<HH4s", 0xCAFE, 4, b"kept")
            info.comment = b"a word"
            with package.open(info, "w", force_zip64=True) as out:
                out.write(data)
        package.comment = b"the owner's zip"
    return held.getvalue()


def wide_ending(parts: Mapping[str, bytes]) -> bytes:
    """A zip whose directory is told of in 64 bits, though it is small."""
    data = wide(parts)
    with zipfile.ZipFile(io.BytesIO(data)) as package:
        start, count = package.start_dir, len(package.infolist())
    tail = data.rfind(b"PK\x05\x06")
    size = tail - start
    record = struct.pack("<4sQHHIIQQQQ", b"PK\x06\x06", 44, 45, 45, 0, 0, count, count, size, start)
    finder = struct.pack("<4sIQI", b"PK\x06\x07", 0, tail, 1)
    words = data[tail + 20 :]
    last = struct.pack("<4sHHHHII", b"PK\x05\x06", 0, 0, 0xFFFF, 0xFFFF, 0xFFFFFFFF, 0xFFFFFFFF) + words
    return data[:tail] + record + finder + last


def shuffled(parts: Mapping[str, bytes]) -> bytes:
    """A zip whose directory lists the members in another order than they lie, behind some bytes of another kind."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as package:
        for name, data in parts.items():
            package.writestr(name, data)
        package.filelist.reverse()
    return held.getvalue()


def saved_in_office(data: bytes, program: str, folder: Path) -> bytes:
    """What LibreOffice makes of a workbook."""
    path, out = folder / "given.xlsx", folder / "saved"
    path.write_bytes(data)
    profile = (folder / "profile").as_uri()
    command = [program, f"-env:UserInstallation={profile}", "--headless", "--convert-to", "xlsx", "--outdir", str(out)]
    subprocess.run([*command, str(path)], check=True, capture_output=True, timeout=120)
    return (out / "given.xlsx").read_bytes()


def all_kinds() -> dict[str, bytes]:
    """Every workbook that needs no other program, by name."""
    parts_of: dict[str, Callable[[], Parts]] = {"by hand": by_hand, "empty": empty_sheet, "linked": linked}
    packed: dict[str, Callable[[Mapping[str, bytes]], bytes]] = {
        "": raw.packed,
        ", described": described,
        ", described wide": described_wide,
        ", wide": wide,
        ", wide ending": wide_ending,
        ", shuffled": shuffled,
    }
    made = {
        "everything.xlsx": everything(),
        "macros.xlsm": everything(macros=True),
        "from openpyxl.xlsx": from_openpyxl(),
    }
    made["days of 1904.xlsx"] = everything(date_1904=True)
    for name, parts in parts_of.items():
        for how, pack in packed.items():
            made[f"{name}{how}.xlsx"] = pack(parts())
    return made
