"""Records back into the cells an owner or a technician would type, for tests that read them again."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import xlsxwriter

from quotekit.model.job import FoundFinding, Job
from quotekit.model.rate import Amount
from quotekit.model.shop_book import Quantity, Settings, ShopBook
from quotekit.workbook import columns as sheets
from quotekit.workbook.column import Column, SheetColumns
from quotekit.workbook.job_fields import field_attribute
from quotekit.workbook.read_settings import setting_attribute
from quotekit.workbook.rows import field_of

_BOOK_FIELDS = {
    "Labour rates": "labour_rates", "Parts used": "parts_used", "Fits only if": "fits_only_if",
    "Rate builder": "rate_builder",
}  # fmt: skip


def write_book(book: ShopBook, path: Path) -> None:
    """The shop book as a workbook; sheets the book lacks are left out."""
    with xlsxwriter.Workbook(str(path)) as workbook:
        _write_fields(workbook, "Shop", "Setting", _settings(book.settings))
        for sheet in sheets.SHOP_BOOK[1:]:
            records = getattr(book, _BOOK_FIELDS.get(sheet.name, sheet.name.lower()))
            if records is not None:
                rows = list(records.values()) if isinstance(records, dict) else list(records)
                if rows or sheet.needed:
                    _write_records(workbook, sheet, rows)


def write_job(job: Job, path: Path) -> None:
    """The job as a workbook; findings are written as measured in the book's own unit."""
    with xlsxwriter.Workbook(str(path)) as workbook:
        _write_fields(workbook, "Job", "Field", _job_fields(job))
        _write_records(workbook, sheets.JOB_FINDINGS, [_finding(found) for found in job.findings])
        for sheet, rows in (
            (
                sheets.JOB_EXTRAS,
                [{"extra": row.code, "side": row.side, "customer_asked": row.asked} for row in job.extras],
            ),
            (sheets.JOB_PARTS, list(job.parts.values())),
            (sheets.ONE_OFF, [{**_fields(row), "tier": row.tiers} for row in job.one_off]),
            (sheets.PLAN, [{"tier": row.tier, "item": row.code, "side": row.side} for row in job.plan]),
        ):
            if rows:
                _write_records(workbook, sheet, rows)


def _settings(settings: Settings) -> list[tuple[str, Any, bool]]:
    rows = []
    for field in sheets.SHOP_SETTINGS:
        value = getattr(settings, setting_attribute(field.name))
        if value not in (None, ""):
            rows.append((field.name, value, field.kind == "percent"))
    return rows


def _job_fields(job: Job) -> list[tuple[str, Any, bool]]:
    rows = []
    for field in sheets.JOB_FIELDS:
        value = getattr(job, field_attribute(field.name))
        if value not in (None, "", ()):
            rows.append((field.name, value, field.kind == "percent"))
    return rows


def _finding(found: FoundFinding) -> dict[str, Any]:
    code = "OTHER" if found.code.startswith("OTHER") else found.code
    return {
        "finding": code,
        "side": found.side,
        "measured": found.measured,
        "severity": found.severity if found.severity_typed or code == "OTHER" else None,
        "note": found.note or ("noted" if found.severity_typed or code == "OTHER" else None),
    }


def _fields(record: Any) -> dict[str, Any]:
    return {name: getattr(record, name) for name in record.__dataclass_fields__}


def _write_fields(workbook: Any, name: str, header: str, rows: list[tuple[str, Any, bool]]) -> None:
    sheet = workbook.add_worksheet(name)
    sheet.write_row(0, 0, [header, "Value"])
    for row, (field, value, percent) in enumerate(rows, start=1):
        sheet.write_string(row, 0, field)
        _write(workbook, sheet, row, 1, value, percent=percent)


def _write_records(workbook: Any, declared: SheetColumns, records: list[Any]) -> None:
    sheet = workbook.add_worksheet(declared.name)
    for number, column in enumerate(declared.columns):
        sheet.write_string(0, number, column.header)
        for row, record in enumerate(records, start=1):
            value, percent = _value(declared, column, record)
            _write(workbook, sheet, row, number, value, percent=percent)


def _value(declared: SheetColumns, column: Column, record: Any) -> tuple[Any, bool]:
    values = record if isinstance(record, dict) else _fields(record)
    if column.header == "Applies to":
        return ("always" if values["always"] else values["applies_to"]), False
    names = [field_of(column), column.header.lower().replace(" ", "_"), f"{column.header.lower()}s"]
    name = next((name for name in names if name in values), "")
    saving = column.kind == "saving" and values.get("saving") == "percent off parts"
    if isinstance(values.get(name), Amount):
        return values[name].value, values[name].percent
    return values.get(name), column.kind in ("percent", "markup") or saving


def _write(workbook: Any, sheet: Any, row: int, column: int, value: Any, *, percent: bool) -> None:
    if value in (None, "", ()) or value == frozenset():
        return
    if isinstance(value, bool):
        sheet.write_string(row, column, "Yes" if value else "No")
    elif isinstance(value, Decimal | int):
        form = workbook.add_format({"num_format": "0.00%"}) if percent else None
        sheet.write_number(row, column, float(value), form)
    elif isinstance(value, date):
        sheet.write_datetime(row, column, value, workbook.add_format({"num_format": "yyyy-mm-dd"}))
    elif isinstance(value, tuple | frozenset):
        sheet.write_string(row, column, "; ".join(_entry(each) for each in value))
    else:
        sheet.write_string(row, column, str(value))


def _entry(value: Any) -> str:
    return f"{value.code} x {value.quantity}" if isinstance(value, Quantity) else str(value)
