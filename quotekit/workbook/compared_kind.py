"""What a file is by its content, whatever its name: a shop book, a job, a customer's quote, a costing, or JSON."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from quotekit.documents.costing import INPUTS, REASONS, SUMMARY
from quotekit.problems import Place, Problem, error
from quotekit.workbook.columns import JOB, SHOP
from quotekit.workbook.defined_names import read_defined_names
from quotekit.workbook.names import name_key
from quotekit.workbook.package import BadPackage, Package, open_package
from quotekit.workbook.xml_parts import read_workbook_part

FileKind = Literal["shop book", "job", "quote", "costing", "json"]

_REMEDY = "Give two shop books, two jobs, two quotes or costings (.xlsx) of one job, or two outputs of quote --json."
_BLANKS = b" \t\r\n\xef\xbb\xbf"


def kind_of_file(path: Path) -> tuple[FileKind | None, list[Problem]]:
    """The kind of a file, or the problem that it is none of them."""
    if _begins_as_json(path):
        return "json", []
    package, problems = open_package(path)
    return (None, problems) if package is None else kind_of_package(package)


def kind_of_package(package: Package) -> tuple[FileKind | None, list[Problem]]:
    """The kind of a workbook that is open, or the problem that it is none of them."""
    try:
        parts = read_workbook_part(package)
        names, _ = read_defined_names(package, parts.part)
    except BadPackage as fault:
        return None, [error(Place(package.file, cell=fault.cell), fault.code, str(fault), fault.remedy)]
    kind = _kind({name_key(sheet.name) for sheet in parts.sheets}, frozenset(names))
    if kind is None:
        message = "this is no shop book, no job, and no quote or costing of quotekit"
        return None, [error(Place(package.file), "not-comparable", message, _REMEDY)]
    return kind, []


def _begins_as_json(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(64).lstrip(_BLANKS).startswith((b"{", b"["))
    except OSError:
        return False


def _kind(sheets: set[str], names: frozenset[str]) -> FileKind | None:
    if {"quote_number", "offered_options"} <= names:
        return "quote"
    if {name_key(name) for name in (SUMMARY, REASONS, INPUTS)} <= sheets:
        return "costing"
    if name_key(SHOP.name) in sheets:
        return "shop book"
    return "job" if name_key(JOB.name) in sheets else None
