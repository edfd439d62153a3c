"""Names of cells as the workbook part lists them, those of single sheets too: how a filled template is read back."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.workbook.defined_names import Area, areas_by_name
from quotekit.workbook.package import BadPackage, open_package
from quotekit.workbook.xml_parts import Attributes, read_workbook_part


def read_sheet_names(path: Path, prefix: str, role: str) -> tuple[Mapping[str, Area], list[Problem]]:
    """Areas by name, in small letters and without the prefix; refused where two sheets have the role's own name.

    A sheet that was copied within its workbook has all the names too, and one of the two would be read in vain.
    """
    package, problems = open_package(path)
    if package is None:
        return {}, problems
    try:
        part = read_workbook_part(package).part
        names = areas_by_name(package, part, lambda one: _known(one, prefix))[0]
        twice = areas_by_name(package, part, lambda one: _of_sheet(one, f"{prefix}{role}"))[0]
    except BadPackage as fault:
        return {}, [error(Place(package.file), fault.code, str(fault), fault.remedy)]
    sheets = list(dict.fromkeys(area[0] for area in twice.values()))
    return names, [_copied(package.file, sheets)] if len(sheets) > 1 else []


def _known(name: Attributes, prefix: str) -> str:
    key = name.get("name", "").casefold()
    return key[len(prefix) :] if key.startswith(prefix) else ""


def _of_sheet(name: Attributes, wanted: str) -> str:
    """A key for each sheet that has the wanted name."""
    return f"sheet {name.get('localSheetId', '')}" if name.get("name", "").casefold() == wanted else ""


def _copied(file: str, sheets: Sequence[str]) -> Problem:
    message = f"the sheets {' and '.join(sheets)} are copies of one, and only one can count"
    return error(
        Place(file, sheets[1]), "filled-twice", message, "Keep the sheet that was filled in, delete the others."
    )
