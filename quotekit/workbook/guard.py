"""The guard: a workbook is checked with the standard library before it is read (DESIGN.md 6).

So that no file can crash the process or hide a wrong number: package, sizes, names, DTDs, cell bounds, far cells,
error cells and formulas without a stored result. The reading library gets a copy that holds the checked parts alone.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.number_formats import read_styles
from quotekit.workbook.package import BadPackage, Package, open_package, packed_again
from quotekit.workbook.sheet_facts import ScanRules, SheetFacts
from quotekit.workbook.sheet_scan import scan_sheet
from quotekit.workbook.xml_parts import WorkbookParts, count_strings, read_workbook_part, relations_part

MOST_CELLS = 2_000_000
"""Filled cells of all sheets together; each takes about 500 bytes once it is read."""

_ROOT = "xl/workbook.xml"


@record
class GuardedWorkbook:
    """A workbook that is safe to read, and what the scan found in each sheet, by name."""

    file: str
    sha256: str
    facts: dict[str, SheetFacts]
    readable: bytes
    """A package of the checked parts, with the faulty cells emptied."""

    left_alone: frozenset[str] = frozenset()
    """Sheets that nobody wants to read: they were not looked at and are not in the package."""


def check_package(
    path: Path | Package, wanted: Callable[[str], bool] | None = None
) -> tuple[GuardedWorkbook | None, list[Problem]]:
    """A workbook that may be read, or why it is refused; faults of single cells are in the facts.

    `wanted` says by its name whether a sheet is read at all.
    """
    package, problems = open_package(path)
    if package is None:
        return None, problems
    try:
        parts = read_workbook_part(package)
        styles = read_styles(package, parts.styles)
        strings = count_strings(package, parts.strings)
        readable = _frame(package, parts)
    except BadPackage as fault:
        return None, [_refused(Place(package.file), fault)]
    rules = ScanRules(styles=styles, strings=strings, date_1904=parts.date_1904)
    facts: dict[str, SheetFacts] = {}
    left_alone = frozenset(sheet.name for sheet in parts.sheets if wanted is not None and not wanted(sheet.name))
    cells = 0
    for sheet in parts.sheets:
        if sheet.name in left_alone:
            facts[sheet.name] = SheetFacts()
            continue
        try:
            data = package.read(sheet.part)
            facts[sheet.name], readable[sheet.part] = scan_sheet(package.file, sheet.name, sheet.part, data, rules)
            cells += facts[sheet.name].cells
            if cells > MOST_CELLS:
                raise BadPackage(
                    "too-large", f"the workbook holds more than {MOST_CELLS:,} cells", "Save only what is used."
                )
        except BadPackage as fault:
            problems.append(_refused(Place(package.file, sheet.name), fault))
    if problems:
        return None, problems
    packed = packed_again(readable)
    found = GuardedWorkbook(
        file=package.file, sha256=package.sha256, facts=facts, readable=packed, left_alone=left_alone
    )
    return found, []


def _frame(package: Package, parts: WorkbookParts) -> dict[str, bytes]:
    """The parts around the sheets, under the names the reading library looks for. Raises BadPackage."""
    if parts.part.rpartition("/")[0] != "xl":
        raise BadPackage("broken-workbook", "the package keeps its workbook in an unusual place")
    kept = {name: package.read(name) for name in ("[Content_Types].xml", "_rels/.rels")}
    kept[_ROOT] = package.read(parts.part)
    kept[relations_part(_ROOT)] = package.read(relations_part(parts.part))
    for found, name in ((parts.styles, "xl/styles.xml"), (parts.strings, "xl/sharedStrings.xml")):
        if found:
            kept[name] = package.read(found)
    return kept


def _refused(place: Place, fault: BadPackage) -> Problem:
    return error(place._replace(cell=fault.cell), fault.code, str(fault), fault.remedy)
