"""Names of cells as the workbook part lists them, those of single sheets too: how a filled template is read back."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.workbook.defined_names import Area, areas_by_name
from quotekit.workbook.package import BadPackage, Package, open_package
from quotekit.workbook.xml_parts import Attributes, read_workbook_part


def read_sheet_names(path: Path, prefix: str) -> tuple[Mapping[str, Area], list[Problem]]:
    """Areas by name, in small letters and without the prefix; the first sheet's where several have a name."""
    package, problems = open_package(path)
    if package is None:
        return {}, problems
    try:
        return _named(package, read_workbook_part(package).part, prefix), []
    except BadPackage as fault:
        return {}, [error(Place(package.file), fault.code, str(fault), fault.remedy)]


def _named(package: Package, part: str, prefix: str) -> dict[str, Area]:
    def key(attributes: Attributes) -> str:
        name = attributes.get("name", "").casefold()
        return name[len(prefix) :] if name.startswith(prefix) else ""

    return areas_by_name(package, part, key)[0]
