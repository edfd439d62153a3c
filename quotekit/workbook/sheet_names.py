"""Names of cells as the workbook part lists them, those of single sheets too: how a filled template is read back."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from quotekit.problems import Place, Problem, error
from quotekit.workbook.defined_names import MOST_NAMES, Area, area_of
from quotekit.workbook.package import BadPackage, Package, open_package
from quotekit.workbook.xml_parts import Attributes, parse_small_part, read_workbook_part


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
    found: dict[str, Area] = {}
    current, held = "", list[str]()

    def start(tag: str, attributes: Attributes) -> None:
        nonlocal current
        name = attributes.get("name", "").casefold() if tag == "definedName" else ""
        current = name[len(prefix) :] if name.startswith(prefix) else ""
        held.clear()

    def end(tag: str) -> None:
        nonlocal current
        area = area_of("".join(held).strip()) if current else None
        if area is not None:
            found.setdefault(current, area)
        current = ""
        if len(found) > MOST_NAMES:
            raise BadPackage("too-large", f"the workbook holds more than {MOST_NAMES:,} names")

    parse_small_part(package, part, start, end, lambda text: held.append(text) if current else None)
    return found
