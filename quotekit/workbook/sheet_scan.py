"""What a sheet's XML holds beyond what the reading library tells: facts, faults, and a copy that is safe to read."""

from __future__ import annotations

from quotekit.problems import Place
from quotekit.workbook.ordinary_cells import NotOrdinary, ordinary_rows, table_of_cells
from quotekit.workbook.package import BadPackage
from quotekit.workbook.scan_by_parser import ParserScan
from quotekit.workbook.scan_by_pattern import PatternScan
from quotekit.workbook.sheet_facts import ScanRules, SheetFacts
from quotekit.workbook.xml_parts import parse_xml


def scan_sheet(file: str, sheet: str, part: str, data: bytes, rules: ScanRules) -> tuple[SheetFacts, bytes]:
    """Facts and faults of one sheet, and its XML with the faulty cells emptied.

    Raises BadPackage where the sheet as a whole cannot be read.
    """
    scan = _by_pattern(Place(file, sheet), part, data, rules)
    if scan is None:
        scan = ParserScan(Place(file, sheet), data, rules)
        parse_xml(part, data, scan.parser)
        scan.check_span()
    scan.facts.hidden_columns.update(column for column, bit in enumerate(f"{scan.hidden:b}"[::-1]) if bit == "1")
    return scan.facts, scan.mended()


def _by_pattern(place: Place, part: str, data: bytes, rules: ScanRules) -> ParserScan | None:
    """The scan of a sheet whose rows are all ordinary; None where the parser must read them, or refuse the sheet."""
    scan = PatternScan(place, data, rules)
    try:
        found = table_of_cells(data)
        parse_xml(part, found.around, scan.parser)
        for row in ordinary_rows(data.decode("latin-1"), found.begin, found.end):
            scan.take_row(row)
        scan.check_span()
    except (NotOrdinary, BadPackage):
        return None
    return scan
