"""What one pass over a sheet's XML needs to know of the workbook, and what it finds."""

from __future__ import annotations

from dataclasses import dataclass, field

from quotekit.problems import Problem
from quotekit.record import record
from quotekit.workbook.addresses import Position, Positions
from quotekit.workbook.number_formats import ShownStyles


@record
class ScanRules:
    """What a scan needs to know of the rest of the workbook."""

    styles: ShownStyles = field(default_factory=ShownStyles)
    strings: int = 0
    date_1904: bool = False


@dataclass(kw_only=True)
class SheetFacts:
    """What a scan found; rows and columns are 1-based."""

    faults: dict[Position, Problem] = field(default_factory=dict)
    percent: Positions = field(default_factory=Positions)
    calculated: Positions = field(default_factory=Positions)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: set[int] = field(default_factory=set)
    merged: list[str] = field(default_factory=list)
    cells: int = 0
    values: int = 0
    """Cells without fault that are not text: the library must find as many."""
