"""Reads a job workbook into a record, in the light of the shop book, with every problem in one pass (DESIGN.md 4)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

from quotekit.model.job import Job
from quotekit.model.shop_book import ShopBook
from quotekit.problems import Problem, has_errors
from quotekit.record import record
from quotekit.workbook.book_records import PartialShopBook, is_unread, left_out_of
from quotekit.workbook.book_rows import resolve_rows
from quotekit.workbook.check_job import check_job
from quotekit.workbook.check_markup import exact_bands
from quotekit.workbook.codes import Codes, codes_of, duplicates
from quotekit.workbook.column import SheetColumns
from quotekit.workbook.columns import (
    JOB,
    JOB_EXTRAS,
    JOB_FIELDS,
    JOB_FINDINGS,
    JOB_PARTS,
    JOB_WORKBOOK,
    ONE_OFF,
    PLAN,
)
from quotekit.workbook.fields import FieldValues, read_fields
from quotekit.workbook.follow_ups import without_follow_ups
from quotekit.workbook.grid import read_grid
from quotekit.workbook.job_fields import JobFields, job_fields_of
from quotekit.workbook.job_findings import Machine, named_findings, read_job_findings
from quotekit.workbook.job_items import read_job_extras, read_one_off, read_plan
from quotekit.workbook.job_parts import read_job_parts
from quotekit.workbook.other_workbook import book_for_job
from quotekit.workbook.package import Package
from quotekit.workbook.reading_order import in_reading_order
from quotekit.workbook.rows import Row, read_rows
from quotekit.workbook.tables import Table, find_tables, of_workbook, told_faults


@record
class JobRows:
    """The rows of each sheet of the job but Job itself."""

    by_sheet: Mapping[str, list[Row]]

    def of(self, sheet: SheetColumns) -> list[Row]:
        """The rows of one sheet, none where it is missing."""
        return self.by_sheet.get(sheet.name, [])


@record
class JobSheets:
    """A job as typed: its fields, and the rows of every other sheet."""

    file: str
    sha256: str
    tables: Mapping[str, Table]
    fields: FieldValues | None
    rows: JobRows


def read_job(path: Path | Package, book: ShopBook | None) -> tuple[Job | None, list[Problem]]:
    """The job and everything wrong with it; None without a shop book, or where a required field is missing."""
    sheets, problems = read_job_sheets(path)
    if sheets is None:
        return None, problems
    job, found = job_of_sheets(sheets, book)
    return job, in_reading_order(without_follow_ups(problems + found, sheets.tables.values()), JOB_WORKBOOK)


def read_job_sheets(path: Path | Package) -> tuple[JobSheets | None, list[Problem]]:
    """What is typed in a job, cell by cell; nothing is looked up in a shop book yet."""
    grid, problems = read_grid(path, of_workbook(JOB_WORKBOOK))
    if grid is None:
        return None, problems
    mistaken = book_for_job(grid)
    if mistaken:
        return None, mistaken
    tables, found = find_tables(grid, JOB_WORKBOOK, "job workbook")
    problems = [*told_faults(grid, tables, JOB_WORKBOOK), *found]
    rows, found = _read_job_rows(tables)
    problems += found
    fields = None
    if JOB.name in tables:
        fields, found = read_fields(tables[JOB.name], JOB_FIELDS)
        problems += found
    return JobSheets(file=grid.file, sha256=grid.sha256, tables=tables, fields=fields, rows=rows), problems


def job_of_sheets(sheets: JobSheets, book: ShopBook | None) -> tuple[Job | None, list[Problem]]:
    """The job of what was typed, in the light of a shop book, and what is wrong between its cells."""
    known = job_codes(book) if book is not None else {}
    rows, fields = sheets.rows, None
    problems = duplicates(rows.of(JOB_PARTS))
    if sheets.fields is not None:
        fields, found = job_fields_of(sheets.fields, sheets.tables[JOB.name], book, _with_job_parts(known, rows))
        problems += found
    if book is None:
        return None, problems
    job, found = _read_records(book, sheets, fields, known)
    return job, problems + found


def job_codes(book: ShopBook) -> dict[str, Codes]:
    """The codes a job may name, by sheet; those of rows with errors too, as their fault is already told."""
    by_sheet = {
        "Labour rates": [rate.code for rate in book.labour_rates],
        "Conditions": [*book.conditions],
        "Access": [*book.access],
        "Operations": [*book.operations],
        "Parts": [*book.parts],
        "Findings": [*book.findings],
        "Remedies": [*book.remedies],
        "Extras": [*book.extras],
        "Fees": [*book.fees],
        "Tiers": [tier.code for tier in book.tiers],
    }
    codes = {
        sheet: replace(codes_of(sheet, of_sheet, lost=left_out_of(book, sheet)), unread=is_unread(book, sheet))
        for sheet, of_sheet in by_sheet.items()
    }
    suppliers = book.suppliers if book.suppliers is not None else (part.supplier for part in book.parts.values())
    lost = left_out_of(book, "Suppliers")
    codes["Suppliers"] = codes_of("Suppliers", suppliers, free=book.suppliers is None, lost=lost)
    return codes


def _read_job_rows(tables: Mapping[str, Table]) -> tuple[JobRows, list[Problem]]:
    by_sheet: dict[str, list[Row]] = {}
    problems: list[Problem] = []
    for declared in JOB_WORKBOOK:
        if declared is not JOB and declared.name in tables:
            by_sheet[declared.name], found = read_rows(tables[declared.name])
            problems += found
    return JobRows(by_sheet=by_sheet), problems


def _with_job_parts(known: Mapping[str, Codes], rows: JobRows) -> dict[str, Codes]:
    """A part may be named where the shop book or the job has it."""
    if "Parts" not in known:
        return dict(known)
    own = [row.values["code"] for row in rows.of(JOB_PARTS) if "code" in row.values]
    parts = known["Parts"]
    together = replace(codes_of("Parts", [*parts.spelled.values(), *own], lost=parts.lost), unread=parts.unread)
    return {**known, "Parts": together}


def _read_records(
    book: ShopBook, sheets: JobSheets, fields: JobFields | None, known: Mapping[str, Codes]
) -> tuple[Job | None, list[Problem]]:
    rows = sheets.rows
    values = dict(fields.values) if fields is not None else {}
    machine = Machine(code=values.get("machine_class", ""), positions=values.get("positions", ()))
    bands = None if isinstance(book, PartialShopBook) else exact_bands(book.markup)
    every = _with_job_parts(known, rows)
    findings, problems = read_job_findings(rows.of(JOB_FINDINGS), book, machine, known)
    whole = not has_errors(problems) and not isinstance(book, PartialShopBook)
    faults = [finding for finding in findings if finding.fault] if whole else None
    extra_rows, found = resolve_rows(JOB_EXTRAS, rows.of(JOB_EXTRAS), known)
    extras, more = read_job_extras(extra_rows, book, machine)
    problems += found + more
    part_rows, found = resolve_rows(JOB_PARTS, _spelled_as_in_book(rows.of(JOB_PARTS), every), every)
    parts, more = read_job_parts(part_rows, book, bands)
    problems += found + more
    line_rows, found = resolve_rows(_without_findings(ONE_OFF), rows.of(ONE_OFF), known)
    lines, more = read_one_off(line_rows, named_findings(rows.of(JOB_FINDINGS), known["Findings"]), bands)
    problems += found + more
    plan_rows, found = resolve_rows(PLAN, rows.of(PLAN), known)
    plan, more = read_plan(plan_rows, book, machine, faults)
    problems += found + more
    if fields is None or not fields.whole:
        return None, problems
    job = Job(
        **values,
        findings=tuple(findings),
        extras=tuple(extras),
        parts=parts,
        one_off=tuple(lines),
        plan=tuple(plan),
        sources=fields.fields.sources,
        file=sheets.file,
        sha256=sheets.sha256,
    )
    return job, problems + check_job(book, job)


def _spelled_as_in_book(rows: list[Row], known: Mapping[str, Codes]) -> list[Row]:
    return [
        row.with_values({**row.values, "code": known["Parts"].find(row.values["code"])})
        if "code" in row.values
        else row
        for row in rows
    ]


def _without_findings(declared: SheetColumns) -> SheetColumns:
    """One-off lines fix findings of the job, not of the book: they are looked up where the job's findings are known."""
    columns = tuple(
        replace(column, refers_to=()) if column.refers_to == ("Findings",) else column for column in declared.columns
    )
    return replace(declared, columns=columns)
