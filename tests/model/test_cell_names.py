"""Fields of records and headers of columns, held against what the readers declare: none forgotten, none made up."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from quotekit.model import job as jobs
from quotekit.model import shop_book as books
from quotekit.model.cell_names import (
    FOUND_IN_BOOK,
    FOUND_ON_JOB,
    NOT_FROM_CELLS,
    ROWS,
    header_of,
    headers_behind_finding,
    is_read_from_cells,
)
from quotekit.workbook import columns as sheets
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.job_fields import field_attribute
from quotekit.workbook.read_settings import setting_attribute

KINDS: list[tuple[SheetColumns, Any]] = [
    (sheets.LABOUR_RATES, books.LabourRate),
    (sheets.CONDITIONS, books.Condition),
    (sheets.MACHINES, books.MachineClass),
    (sheets.ACCESS, books.AccessStep),
    (sheets.OPERATIONS, books.Operation),
    (sheets.PARTS, books.Part),
    (sheets.PARTS_USED, books.PartUsed),
    (sheets.OFFERS, books.Offer),
    (sheets.SUPPLIERS, books.Supplier),
    (sheets.MARKUP, books.MarkupBand),
    (sheets.FINDINGS, books.Finding),
    (sheets.REMEDIES, books.Remedy),
    (sheets.FITS_ONLY_IF, books.FitsOnlyIf),
    (sheets.EXTRAS, books.Extra),
    (sheets.BUNDLES, books.Bundle),
    (sheets.FEES, books.Fee),
    (sheets.TAXES, books.Tax),
    (sheets.TIERS, books.Tier),
    (sheets.CAUTIONS, books.Caution),
    (sheets.JOB_EXTRAS, jobs.JobExtra),
    (sheets.JOB_PARTS, books.Part),
    (sheets.ONE_OFF, jobs.OneOff),
    (sheets.PLAN, jobs.PlanItem),
]


def names_of(kind: Any) -> list[str]:
    """Fields of a record that are read from cells."""
    return [each.name for each in fields(kind) if is_read_from_cells(kind, each.name)]


@pytest.mark.parametrize(("sheet", "kind"), KINDS, ids=[f"{sheet.name}-{kind.__name__}" for sheet, kind in KINDS])
def test_every_column_fills_a_field_and_every_field_has_its_column(sheet: SheetColumns, kind: Any) -> None:
    """A column without a field would be a cell that nobody is seen to read."""
    declared = {column.header for column in sheet.columns}
    assert {header_of(kind, name) for name in names_of(kind)} == declared


def test_every_setting_fills_a_field_and_every_field_is_a_setting() -> None:
    declared = {setting_attribute(field.name): field.name for field in sheets.SHOP_SETTINGS}
    assert {name: header_of(books.Settings, name) for name in names_of(books.Settings)} == declared


def test_every_job_field_fills_a_field_and_every_field_is_a_job_field() -> None:
    """The positions and the name of the class come from what the job says of its class."""
    declared = {field_attribute(field.name): field.name for field in sheets.JOB_FIELDS}
    derived = {"positions": "Machine class", "machine_class_name": "Machine class"}
    assert {name: header_of(jobs.Job, name) for name in names_of(jobs.Job)} == {**declared, **derived}


def test_a_recorded_finding_hangs_on_the_columns_of_both_findings_sheets() -> None:
    on_job = {header for headers in FOUND_ON_JOB.values() for header in headers}
    in_book = {header for headers in FOUND_IN_BOOK.values() for header in headers}
    assert on_job == {column.header for column in sheets.JOB_FINDINGS.columns}
    assert in_book == {column.header for column in sheets.FINDINGS.columns} - {"Machine"}, "a wrong class is an error"


def test_every_field_of_a_recorded_finding_has_its_columns() -> None:
    names = {each.name for each in fields(jobs.FoundFinding)} - NOT_FROM_CELLS
    assert [name for name in sorted(names) if not any(headers_behind_finding(name))] == []
    assert names == {*FOUND_ON_JOB, *FOUND_IN_BOOK}


def test_every_sheet_is_held_to_this() -> None:
    """A sheet with rows that stands nowhere here would go unseen; a rate builder's rows are no part of a quote."""
    held = {sheet.name for sheet, _ in KINDS} | {"Shop", "Job", "Findings"}
    declared = {sheet.name for sheet in (*sheets.SHOP_BOOK, *sheets.JOB_WORKBOOK)}
    assert declared - held <= {"Rate builder"}


def test_rows_of_a_job_are_its_own_sheets() -> None:
    assert {"findings", "extras", "parts", "one_off", "plan"} == ROWS
    assert not is_read_from_cells(jobs.Job, "plan") and is_read_from_cells(jobs.Job, "fees")
