"""The guard: a workbook is checked with the standard library before it is read (DESIGN.md 6).

So that no file can crash the process or hide a wrong number: package, sizes, names, DTDs, cell bounds, far cells,
error cells and formulas without a stored result.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.workbook.package import BadPackage, Package, open_package
from quotekit.workbook.sheet_scan import SheetFacts, scan_sheet
from quotekit.workbook.xml_parts import WorkbookParts, count_strings, percent_styles, read_workbook_part


@dataclass(frozen=True, kw_only=True)
class GuardedWorkbook:
    """A workbook that is safe to read, with what the scan found in each sheet, by name."""

    package: Package
    parts: WorkbookParts
    facts: dict[str, SheetFacts]


def guard(path: Path) -> tuple[GuardedWorkbook | None, list[Problem]]:
    """A workbook that may be read, or why it is refused; faults of single cells are in the facts."""
    package, problems = open_package(path)
    if package is None:
        return None, problems
    try:
        parts = read_workbook_part(package)
        percents = percent_styles(package, parts.styles)
        strings = count_strings(package, parts.strings)
    except BadPackage as fault:
        return None, [error(Place(package.file), fault.code, fault.message, fault.remedy)]
    facts: dict[str, SheetFacts] = {}
    for sheet in parts.sheets:
        try:
            facts[sheet.name] = scan_sheet(package, sheet.part, sheet.name, percents, strings)
        except BadPackage as fault:
            problems.append(error(Place(package.file, sheet.name), fault.code, fault.message, fault.remedy))
    if problems:
        return None, problems
    return GuardedWorkbook(package=package, parts=parts, facts=facts), []
