"""The shop's first templates with every mark filled, to be looked at whole."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from io import BytesIO

import openpyxl

from quotekit.documents.filling import CellValue, Rows, SheetFilling
from quotekit.workbook.fill_template import fill_template
from quotekit.workbook.find_template import TemplateName, find_template
from quotekit.workbook.template_marks import find_marks

SUMS = {"standard_hours", "labour_total", "parts_total", "other_total"}
"""They go with their tables: the sum of nothing is not told."""


def filled_everywhere(name: TemplateName, rows: int) -> bytes:
    """Every mark of a template filled with its own name, every table with so many rows."""
    template, problems = find_template(name, [])
    assert template is not None and problems == []
    marks, problems = find_marks(name, openpyxl.load_workbook(BytesIO(template.package.data)))
    assert problems == []
    fillings = []
    for one in marks:
        values: dict[str, CellValue] = {mark: f"value of {mark}" for mark in one.values}
        if not rows:
            values |= {mark: Decimal("0.00") for mark in SUMS & values.keys()}
        tables: Mapping[str, Rows] = {
            table: [{column: Decimal(row) for column in found.columns} for row in range(rows)]
            for table, found in one.tables.items()
        }
        fillings.append(SheetFilling(role=one.role, values=values, tables=tables))
    data, problems = fill_template(template, fillings)
    assert problems == [] and data is not None
    return data
