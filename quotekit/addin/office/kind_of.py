"""What a workbook is, by its sheets: shop book, job, customer's quote, costing, or something else.

The same rule as the readers of the engine: names of sheets compare without case and spaces, in either spelling, and a
quote is known by the names of its cells. A file on the disk is only looked into, not opened in the office.
"""

from __future__ import annotations

import os
import re
import zipfile
from typing import Any, Dict, Iterable, Optional, Set, Tuple
from xml.parsers import expat

BOOK, JOB, QUOTE, COSTING, OTHER = "shop book", "job", "quote", "costing", "other"

WORKBOOKS = (".xlsx", ".xlsm", ".ods")
"""Kinds of files that are looked into on the disk; others are known once they are open."""

_COSTING = {"summary", "reasonsandwarnings", "inputs"}
_QUOTE = {"quote_number", "offered_options"}
_SPELLINGS = (("labor", "labour"), ("license", "licence"))
_LARGEST = 64 * 1024 * 1024
_KEPT_COPY = re.compile(r".+ before \d{4}-\d{2}-\d{2}(?: \(\d+\))?\.[^.]+")
"""As in the engine, of a copy that is kept when prices are changed in the shop book: it holds the old ones."""


def kind_by_names(sheets: Iterable[str], names: Iterable[str] = ()) -> str:
    """What has these sheets and these names of cells.

    >>> kind_by_names(["Start here", "SHOP ", "Labor rates"]), kind_by_names(["Job", "Findings"])
    ('shop book', 'job')
    >>> kind_by_names(["Quote", "Working"], ["quote_number", "offered_options"]), kind_by_names(["Sheet1"])
    ('quote', 'other')
    """
    keys = {sheet_key(sheet) for sheet in sheets}
    if {name.casefold() for name in names} >= _QUOTE:
        return QUOTE
    if keys >= _COSTING:
        return COSTING
    if "shop" in keys:
        return BOOK
    return JOB if "job" in keys else OTHER


def sheet_key(name: str) -> str:
    """The form in which names of sheets and columns compare, as in the engine.

    >>> sheet_key(" Labor  Rates ")
    'labourrates'
    """
    key = "".join(name.split()).casefold()
    for typed, known in _SPELLINGS:
        key = key.replace(typed, known)
    return key


def is_kept_copy(name: str) -> bool:
    """Whether a file has the name of such a copy; who looks for the shop book of a folder passes it over.

    >>> is_kept_copy("shop book before 2026-12-01.xlsx"), is_kept_copy("shop book.xlsx")
    (True, False)
    """
    return _KEPT_COPY.fullmatch(name) is not None


def kind_of(document: Any) -> str:
    """What an open spreadsheet is."""
    return kind_by_names(document.Sheets.getElementNames(), document.NamedRanges.getElementNames())


def sheet_of(document: Any, name: str) -> Optional[Any]:
    """The sheet of a name, however it is spelled; None where there is none."""
    for found in document.Sheets.getElementNames():
        if sheet_key(found) == sheet_key(name):
            return document.Sheets.getByName(found)
    return None


def kind_of_file(path: str) -> str:
    """What a workbook on the disk is; other where it can't be looked into."""
    try:
        state = os.stat(path)
    except OSError:
        return OTHER
    seen = (state.st_mtime_ns, state.st_size)
    known = _known.get(path)
    if known is None or known[0] != seen:
        known = _known[path] = (seen, kind_by_names(*_names_in(path)))
    return known[1]


_known: Dict[str, Tuple[Tuple[int, int], str]] = {}
"""What was looked into already, for as long as it stays as it is."""


def _names_in(path: str) -> Tuple[Set[str], Set[str]]:
    """Sheets and names of cells of a file; none where it is no workbook, or one that is made to do harm."""
    try:
        with zipfile.ZipFile(path) as package:
            members = set(package.namelist())
            for member, reads in (("xl/workbook.xml", _Xlsx), ("content.xml", _Ods)):
                if member in members and package.getinfo(member).file_size <= _LARGEST:
                    found = reads()
                    with package.open(member) as stream:
                        found.parser.ParseFile(stream)
                    return found.sheets, found.names
    except (OSError, ValueError, RuntimeError, NotImplementedError, zipfile.BadZipFile, expat.ExpatError):
        pass
    return set(), set()


class _Names:
    """Gathers names while a part is read; a part that declares entities is not read."""

    def __init__(self) -> None:
        self.sheets: Set[str] = set()
        self.names: Set[str] = set()
        self.parser = expat.ParserCreate()
        self.parser.StartElementHandler = self._start
        self.parser.EntityDeclHandler = self._refuse

    def _start(self, name: str, attributes: Dict[str, str]) -> None:
        raise NotImplementedError

    @staticmethod
    def _refuse(*_: Any) -> None:
        raise ValueError("entities")


class _Xlsx(_Names):
    def _start(self, name: str, attributes: Dict[str, str]) -> None:
        kind = name.rpartition(":")[2]
        if kind == "sheet":
            self.sheets.add(attributes.get("name", ""))
        elif kind == "definedName":
            self.names.add(attributes.get("name", ""))


class _Ods(_Names):
    def _start(self, name: str, attributes: Dict[str, str]) -> None:
        if name == "table:table":
            self.sheets.add(attributes.get("table:name", ""))
        elif name == "table:named-range":
            self.names.add(attributes.get("table:name", ""))
