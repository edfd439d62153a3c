"""What a workbook saved as .ods is: its sheets tell a job or a shop book, nothing else of it is read.

A folder may hold any .ods; only one whose sheets are those of a job or a shop book is somebody's work that waits to be
priced. OpenDocument 1.3, part 3: the sheets are `table:table` elements of content.xml.
"""

from __future__ import annotations

import zipfile
import zlib
from pathlib import Path
from typing import Literal
from xml.parsers import expat

from quotekit.workbook.columns import JOB, JOB_FINDINGS, OPERATIONS, SHOP
from quotekit.workbook.names import name_key

_PART = "content.xml"
_MOST_BYTES = 200_000_000
_PIECE = 1_000_000
_UNREADABLE = (OSError, KeyError, ValueError, EOFError, RuntimeError, zipfile.BadZipFile, zlib.error, expat.ExpatError)


def kind_of_ods(path: Path) -> Literal["job", "shop book"] | None:
    """The kind, or nothing where it is neither, or can't be read."""
    names = {name_key(name) for name in ods_sheet_names(path)}
    for kind, sheets in (("shop book", (SHOP, OPERATIONS)), ("job", (JOB, JOB_FINDINGS))):
        if {name_key(sheet.name) for sheet in sheets} <= names:
            return "shop book" if kind == "shop book" else "job"
    return None


def ods_sheet_names(path: Path) -> list[str]:
    """The names of an .ods workbook's sheets; none where it is no such workbook, or not whole."""
    names: list[str] = []

    def start(tag: str, attributes: dict[str, str]) -> None:
        if tag == "table:table":
            names.append(attributes.get("table:name", ""))

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.EntityDeclHandler = _refuse
    try:
        with zipfile.ZipFile(path) as archive, archive.open(_PART) as content:
            for _ in range(0, _MOST_BYTES, _PIECE):
                piece = content.read(_PIECE)
                parser.Parse(piece, not piece)
                if not piece:
                    break
    except _UNREADABLE:
        return []
    return names


def _refuse(*_: object) -> None:
    raise ValueError("no workbook declares entities")
