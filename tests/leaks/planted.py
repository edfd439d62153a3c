"""Leaks planted in a small workbook, a page and a PDF, one at a time, to test the test."""

from __future__ import annotations

import base64
import io
import struct
import zipfile
import zlib
from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import xlsxwriter

from tests.conformity.package_parts import Parts
from tests.conformity.planted import packed
from tests.leaks.secrets_of import Secret

COST, SUPPLIER, NUMBER = Decimal("61803.39"), "Zyxq Supply", "ZQ-0017-X"
SECRETS = [Secret("cost", COST), Secret("supplier", SUPPLIER), Secret("supplier's number", NUMBER)]
SHEET = "xl/worksheets/sheet1.xml"

Write = Callable[[Any, Any], object]
Change = Callable[[bytes], bytes]


def workbook(plant: Write = lambda book, sheet: None) -> bytes:
    """A quote of two lines, with whatever the plant writes besides."""
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"in_memory": True})
    book.set_properties({"author": "Mill Lane Repairs", "created": datetime(2026, 3, 2)})
    sheet = book.add_worksheet("Quote")
    sheet.write_row("A1", ["Auger bushing", 12000.5])
    plant(book, sheet)
    book.close()
    return stream.getvalue()


def picture(*chunks: tuple[bytes, bytes], after: bytes = b"") -> io.BytesIO:
    """A PNG of one pixel with more chunks, and bytes after its end."""
    listed = [(b"IHDR", struct.pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0)), *chunks]
    listed += [(b"IDAT", zlib.compress(b"\0\0")), (b"IEND", b"")]
    body = b"".join(
        struct.pack(">I", len(d)) + kind + d + struct.pack(">I", zlib.crc32(kind + d)) for kind, d in listed
    )
    return io.BytesIO(b"\x89PNG\r\n\x1a\n" + body + after)


def _with_picture(*chunks: tuple[bytes, bytes], after: bytes = b"", alt: str = "") -> Write:
    return lambda book, sheet: sheet.insert_image(
        "B2", "x.png", {"image_data": picture(*chunks, after=after), "description": alt}
    )


def _chart(book: Any, sheet: Any, **series: Any) -> None:
    line = book.add_chart({"type": "line"})
    line.add_series({"values": "=Quote!$B$1:$B$2", **series})
    sheet.insert_chart("D4", line)


def _hidden(book: Any, sheet: Any) -> None:
    more = book.add_worksheet("Working")
    more.very_hidden()
    more.write("A1", float(COST))


def _format(book: Any, **settings: Any) -> Any:
    return book.add_format(settings)


def _table(book: Any, sheet: Any) -> None:
    sheet.add_table("D1:D2", {"columns": [{"header": SUPPLIER}]})


BOLD = {"bold": True}
WRITTEN: dict[str, Write] = {
    "a number in a cell": lambda b, s: s.write("A9", float(COST)),
    "white on white": lambda b, s: s.write("A9", float(COST), _format(b, font_color="white")),
    "a hidden row": lambda b, s: [s.write("A9", float(COST)), s.set_row(8, None, None, {"hidden": True})],
    "a hidden column": lambda b, s: [s.write("F1", NUMBER), s.set_column("F:F", None, None, {"hidden": True})],
    "a very hidden sheet": _hidden,
    "a cell far away": lambda b, s: s.write("XFD1048576", float(COST)),
    "the last digit altered": lambda b, s: s.write("A9", float(COST) * 1.0000000000000002),
    "one part in ten million off": lambda b, s: s.write("A9", float(COST) * 1.0000001),
    "a negative number": lambda b, s: s.write("A9", -float(COST)),
    "whole minor units": lambda b, s: s.write("A9", int(COST * 100)),
    "thousandths": lambda b, s: s.write("A9", int(COST * 1000)),
    "whole units, rounded": lambda b, s: s.write("A9", 61803),
    "in text with a comma": lambda b, s: s.write("A9", "it cost 61803,39 EUR"),
    "in text with groups": lambda b, s: s.write("A9", "USD 61,803.39 net"),
    "in text with spaces": lambda b, s: s.write("A9", "61 803.39"),
    "in text with dots": lambda b, s: s.write("A9", "61.803,39"),
    "in text with apostrophes": lambda b, s: s.write("A9", "61'803.39"),
    "in a power of ten": lambda b, s: s.write("A9", "6.180339e+04"),
    "inside a formula": lambda b, s: s.write_formula("A9", "=61803.39*1.5", None, 92705.085),
    "only as a stored result": lambda b, s: s.write_formula("A9", "=B1", None, float(COST)),
    "minor units in a formula": lambda b, s: s.write_formula("A9", "=INT(6180339*2)", None, 12360678),
    "split over runs": lambda b, s: s.write_rich_string("A9", "Zy", _format(b, **BOLD), "xq Sup", "ply"),
    "a number split over runs": lambda b, s: s.write_rich_string("A9", "618", _format(b, **BOLD), "03.", "39"),
    "split over cells": lambda b, s: s.write_row("A9", ["Zyxq", "Supply"]),
    "in capitals": lambda b, s: s.write("A9", "ZYXQ SUPPLY"),
    "backwards": lambda b, s: s.write("A9", SUPPLIER[::-1]),
    "base64": lambda b, s: s.write("A9", base64.b64encode(f"made by {SUPPLIER}".encode()).decode()),
    "base64 of a cost": lambda b, s: s.write("A9", base64.b64encode(b"cost=61803.39;").decode()),
    "hexadecimal": lambda b, s: s.write("A9", SUPPLIER.encode().hex()),
    "a cost in hexadecimal": lambda b, s: s.write("A9", f"0x{6180339:X}"),
    "a cell comment": lambda b, s: s.write_comment("A1", "cost 61803.39"),
    "a comment's author": lambda b, s: s.write_comment("A1", "see me", {"author": SUPPLIER}),
    "a text box": lambda b, s: s.insert_textbox("D4", "61,803.39"),
    "a defined name": lambda b, s: b.define_name("hidden_cost", "=61803.39"),
    "the name of a defined name": lambda b, s: b.define_name("Zyxq_cost", "=1"),
    "a sheet's name": lambda b, s: b.add_worksheet("Zyxq"),
    "the title": lambda b, s: b.set_properties({"title": f"for {SUPPLIER}"}),
    "the comments of the file": lambda b, s: b.set_properties({"comments": str(COST)}),
    "the company": lambda b, s: b.set_properties({"company": SUPPLIER}),
    "a custom property": lambda b, s: b.set_custom_property("x", float(COST)),
    "the page's header": lambda b, s: s.set_header("&C" + SUPPLIER),
    "the page's footer": lambda b, s: s.set_footer("&L61803.39"),
    "a drop-down": lambda b, s: s.data_validation("A9", {"validate": "list", "source": ["a", NUMBER]}),
    "a limit of a cell": lambda b, s: s.data_validation(
        "A9", {"validate": "decimal", "criteria": ">", "value": float(COST)}
    ),
    "a prompt": lambda b, s: s.data_validation("A9", {"validate": "any", "input_message": f"from {SUPPLIER}"}),
    "a conditional format": lambda b, s: s.conditional_format(
        "A9", {"type": "cell", "criteria": "<", "value": float(COST), "format": _format(b, **BOLD)}
    ),
    "a number format": lambda b, s: s.write("A9", 1, _format(b, num_format='0"61803.39"')),
    "the name of a font": lambda b, s: s.write("A9", 1, _format(b, font_name="Zyxq")),
    "the header of a table": _table,
    "a chart's title": lambda b, s: _chart(b, s, name=SUPPLIER),
    "a chart's stored values": lambda b, s: _chart(b, s, values_data=[float(COST), 1]),
    "a picture's words": _with_picture(alt=f"a part from {SUPPLIER}"),
    "text in a picture": _with_picture((b"tEXt", b"Comment\0from " + SUPPLIER.encode())),
    "packed text in a picture": _with_picture((b"zTXt", b"Comment\0\0" + zlib.compress(SUPPLIER.encode()))),
    "packed words in a picture": _with_picture((b"iTXt", b"C\0\1\0\0\0" + zlib.compress(SUPPLIER.encode()))),
    "wide letters in a picture": _with_picture((b"eXIf", b"MM" + SUPPLIER.encode("utf-16-be"))),
    "after the end of a picture": _with_picture(after=b"cost 61803.39"),
    "a link": lambda b, s: s.write_url("A9", "http://127.0.0.1/?from=Zyxq%20Supply"),
}  # fmt: skip
"""What a writer could write by mistake, or on purpose."""


def _swap(part: str, old: str, new: str) -> Change:
    def change(data: bytes) -> bytes:
        parts = Parts.of(data)
        text = parts.data[part].decode()
        assert old in text, (part, old)
        parts.data[part] = text.replace(old, new, 1).encode()
        return packed(parts)

    return change


def _more(name: str, data: bytes) -> Change:
    def change(workbook: bytes) -> bytes:
        parts = Parts.of(workbook)
        parts.names.append(name)
        parts.data[name] = data
        return packed(parts)

    return change


def _zipped(comment: bytes = b"", extra: bytes = b"") -> Change:
    def change(workbook: bytes) -> bytes:
        stream = io.BytesIO(workbook)
        with zipfile.ZipFile(stream, "a") as package:
            package.comment = comment
            if extra:
                entry = zipfile.ZipInfo("xl/a.xml")
                entry.extra = struct.pack("<HH", 0x7075, len(extra)) + extra
                package.writestr(entry, b"<a/>")
        return stream.getvalue()

    return change


def _inner() -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as package:
        package.writestr("costs.txt", "61803.39 " * 20)
    return stream.getvalue()


CHANGED: dict[str, Change] = {
    "a comment in the markup": _swap(SHEET, "<sheetData>", f"<!-- {SUPPLIER} --><sheetData>"),
    "an instruction in the markup": _swap(SHEET, "<sheetData>", f"<?note {SUPPLIER}?><sheetData>"),
    "an unknown attribute": _swap(SHEET, "<sheetData>", f'<sheetData note="{SUPPLIER}">'),
    "an unknown element": _swap(SHEET, "<sheetData>", "<cost>61803.39</cost><sheetData>"),
    "letters by number": _swap("xl/sharedStrings.xml", "Auger", "&#90;&#121;&#120;&#113;&#32;Supply"),
    "digits by number": _swap("xl/sharedStrings.xml", "Auger", "&#54;1803&#x2E;39"),
    "a spreadsheet's own letters": _swap("xl/sharedStrings.xml", "Auger", "_x005A_yxq Supply"),
    "the name of a part": _more("xl/Zyxq.xml", b"<a/>"),
    "a part nobody names": _more("xl/costs.bin", b"\0\1" + struct.pack("<9s", b"61803.39;") + b"\2"),
    "wide letters in a part": _more("xl/costs.bin", SUPPLIER.encode("utf-16-le")),
    "wide letters one byte on": _more("xl/costs.bin", b"\1" + SUPPLIER.encode("utf-16-le") + b"\0"),
    "a package in the package": _more("xl/media/image1.bin", _inner()),
    "the package's comment": _zipped(comment=SUPPLIER.encode()),
    "an entry's extra field": _zipped(extra=b"61803.39"),
}  # fmt: skip
"""What another program could leave in the file."""

PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Quote 117</title>
<style>td { color: #000 }</style></head><body><table><tr><td>Auger bushing</td><td>12000.50</td></tr></table>
<script>const work = [1200050, 117];</script></body></html>"""
IN_THE_PAGE: dict[str, tuple[str, str]] = {
    "a number in the script": ("[1200050", "[61803.39, 1200050"),
    "minor units in the script": ("[1200050", "[6180339, 1200050"),
    "an altered digit in the script": ("[1200050", "[61803.390000000003, 1200050"),
    "letters by number in the script": ("117]", r'"\u005ayxq Supply"]'),
    "bytes in the script": ("117]", r'"\x5ayxq"]'),
    "a comment in the script": ("const", "/* cost 61803.39 */ const"),
    "a power of ten": ("[1200050", "[6.180339e4, 1200050"),
    "a comment": ("<table>", "<!-- Zyxq --><table>"),
    "an attribute": ("<table>", '<table data-cost="61803.39">'),
    "a hidden cell": ("</tr>", "<td hidden>61803.39</td></tr>"),
    "split by marks": ("Auger", "Zy<b>xq</b> Supply"),
    "a number split by marks": ("12000.50", "61<i>803</i>.39"),
    "letters by name": ("Auger", "&#x5a;yxq Supply"),
    "the title": ("Quote 117", "Zyxq Supply"),
    "the style": ("#000", '#000; content: "Zyxq"'),
    "a link": ("<table>", '<a href="mailto:a@b.example?body=Zyxq%20Supply">x</a><table>'),
    "a picture in the page": (
        "<table>",
        '<img src="data:image/png;base64,'
        + base64.b64encode(picture((b"tEXt", b"C\0Zyxq Supply")).getvalue()).decode()
        + '"><table>',
    ),
    "base64 in the script": ("117]", '"' + base64.b64encode(b"the cost is 61803.39").decode() + '"]'),
}


def pdf(content: bytes, info: bytes = b"(Mill Lane Repairs)", *, pack: bool = True) -> bytes:
    """A PDF of one page with a stream of drawing commands."""
    stream = zlib.compress(content) if pack else content
    kind = b"/Filter /FlateDecode " if pack else b""
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 300 200] /Contents 4 0 R"
        b" /Resources << /Font << /F1 5 0 R >> >> >>",
        b"<< " + kind + b"/Length %d >>\nstream\n" % len(stream) + stream + b"\nendstream",
        b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
        b"<< /Author " + info + b" >>",
    ]
    out, places = b"%PDF-1.4\n", []
    for number, body in enumerate(objects, start=1):
        places.append(len(out))
        out += b"%d 0 obj\n" % number + body + b"\nendobj\n"
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    return (
        out
        + b"xref\n0 7\n0000000000 65535 f \n"
        + table
        + b"trailer << /Size 7 /Root 1 0 R /Info 6 0 R >>\nstartxref\n%d\n%%%%EOF" % len(out)
    )


def shown(*texts: str) -> bytes:
    """Commands that show texts one after the other."""
    return b"BT /F1 12 Tf 20 100 Td " + b" ".join(f"({text}) Tj".encode() for text in texts) + b" ET"


IN_A_PDF: dict[str, bytes] = {
    "a text on the page": pdf(shown("cost 61803.39")),
    "a text in pieces": pdf(shown("Zy", "xq Supply")),
    "an unpacked stream": pdf(shown("Zyxq Supply"), pack=False),
    "white text": pdf(b"1 1 1 rg " + shown("Zyxq Supply")),
    "the author": pdf(shown("Quote"), b"(Zyxq Supply)"),
    "the author in wide letters": pdf(shown("Quote"), b"<FEFF" + SUPPLIER.encode("utf-16-be").hex().encode() + b">"),
    "a comment in the stream": pdf(b"% 61803.39\n" + shown("Quote")),
}
