"""Works out temporary copies of a workbook in LibreOffice and reads the results; the owner's file stays closed."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from tempfile import TemporaryDirectory

from quotekit.workbook.addresses import address
from quotekit.workbook.in_place.contents import Content
from quotekit.workbook.in_place.results import CannotWorkOut, WorkedOut, WorkOut
from quotekit.workbook.in_place.sheet_cells import find_cells
from quotekit.workbook.in_place.spans import position_of
from quotekit.workbook.in_place.stored import shared_texts, stored_content, wanted_texts
from quotekit.workbook.office import Failed, TimeOut, find_office, run_office
from quotekit.workbook.package import BadPackage, package_of
from quotekit.workbook.xml_parts import read_workbook_part

SECONDS = 120.0
"""As long as LibreOffice may take for both copies; it needs two or three."""

_LANGUAGE = "en_US"


def office_work_out(*, ending: str = ".xlsx", seconds: float = SECONDS, language: str = _LANGUAGE) -> WorkOut | None:
    """What works out workbooks of a kind, or None where LibreOffice is not installed."""
    program = find_office()
    if program is None:
        return None
    found = program

    def work_out(before: bytes, after: bytes, cells: frozenset[tuple[str, str]]) -> WorkedOut:
        with TemporaryDirectory(prefix="quotekit-") as name:
            folder = Path(name)
            copies = [folder / f"{title}{ending}" for title in ("before", "after")]
            for copy, data in zip(copies, (before, after), strict=True):
                copy.write_bytes(data)
            made = folder / "made"
            arguments = ["--convert-to", "xlsx", "--outdir", str(made), *map(str, copies)]
            try:
                run_office(found, arguments, language=language, seconds=seconds)
            except TimeOut:
                raise CannotWorkOut(f"LibreOffice had not worked it out after {seconds:g} seconds") from None
            except Failed as fault:
                raise CannotWorkOut(f"LibreOffice ended without working it out ({str(fault)[:80]})") from None
            return WorkedOut(before=_results(made / "before.xlsx", cells), after=_results(made / "after.xlsx", cells))

    return work_out


def _results(path: Path, wanted: Collection[tuple[str, str]]) -> dict[tuple[str, str], Content]:
    """The contents of some cells of a workbook that LibreOffice wrote."""
    if not path.is_file():
        raise CannotWorkOut("LibreOffice made no file")
    try:
        return contents_of(path.name, path.read_bytes(), wanted)
    except BadPackage as fault:
        raise CannotWorkOut(f"what LibreOffice made can't be read ({fault})") from None


def contents_of(file: str, data: bytes, wanted: Collection[tuple[str, str]]) -> dict[tuple[str, str], Content]:
    """What cells of a workbook hold, by sheet in small letters and cell. Raises BadPackage."""
    package = package_of(file, data)
    parts = read_workbook_part(package)
    found: dict[tuple[str, str], Content] = {}
    for sheet in parts.sheets:
        name = sheet.name.casefold()
        places = {at for of, cell in wanted if of == name and (at := position_of(cell)) is not None}
        if not places:
            continue
        cells = find_cells(sheet.part, package.read(sheet.part), places, formulas=False)
        spans = [span for at, span in cells.cells.items() if at in places]
        texts = shared_texts(package, parts.strings, wanted_texts(spans))
        found |= {(name, address(*span.at)): stored_content(cells, span, texts) for span in spans}
    return found
