"""Request `findings`: what may be found on the machine of the open job, what is recorded, and what to look at next.

The job may be full of errors: it is being filled in. What to measure and look at next comes from pricing it, where it
can be priced; else from the rows as they stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from quotekit.cli.answers.price import as_named
from quotekit.cli.answers.request import Refused, Words, document

if TYPE_CHECKING:
    from quotekit.cli.inputs import Inputs
    from quotekit.model.shop_book import Finding, ShopBook
    from quotekit.workbook.job_findings import Machine
    from quotekit.workbook.read_job import JobSheets


def answer(words: Words) -> dict[str, Any]:
    """`{"document", "book"}` gives `{"machine", "positions", "findings": [...], "recorded": [...], "next": [...]}`.

    Numbers are texts, as typed in the shop book. Raises Refused where the shop book or the job can't be read at all.
    """
    from quotekit.cli.inputs import read_inputs
    from quotekit.workbook.read_job import read_job_sheets

    with as_named(document(words, "document")) as job, as_named(document(words, "book")) as book_copy:
        inputs = read_inputs(book_copy, job)
        sheets, problems = read_job_sheets(job)
    if inputs.book is None or sheets is None:
        raise Refused(inputs.problems or problems)
    machine, name = _machine(sheets, inputs.book)
    findings = [one for one in inputs.book.findings.values() if machine.is_one_of(one.machines)]
    return {
        "machine": name,
        "positions": list(machine.positions),
        "findings": [_told(one, inputs.book) for one in findings],
        "recorded": _recorded(sheets),
        "next": _next(inputs, sheets, {one.code for one in findings}),
    }


def _machine(sheets: JobSheets, book: ShopBook) -> tuple[Machine, str]:
    """The machine of the job and its class in words; of no class yet where none is typed."""
    from quotekit.workbook.columns import JOB
    from quotekit.workbook.job_fields import job_fields_of
    from quotekit.workbook.job_findings import Machine
    from quotekit.workbook.read_job import job_codes

    if sheets.fields is None:
        return Machine(code="", positions=()), ""
    values = job_fields_of(sheets.fields, sheets.tables[JOB.name], book, job_codes(book))[0].values
    machine = Machine(code=values.get("machine_class", ""), positions=tuple(values.get("positions", ())))
    return machine, str(values.get("machine_class_name", ""))


def _told(finding: Finding, book: ShopBook) -> dict[str, Any]:
    from quotekit.workbook.sided import is_sided

    remedies = book.remedies_by_finding.get(finding.code, ())
    return {
        "code": finding.code,
        "finding": finding.finding,
        "severity": finding.severity,
        "measure": finding.measure,
        "unit": finding.unit,
        "fails_when": finding.fails_when or "",
        "limit": _plain(finding.limit),
        "as_new": _plain(finding.as_new),
        "limit_source": finding.limit_source,
        "also_check": list(finding.also_check),
        "needs_side": bool(remedies) and all(is_sided(book, remedy.code) for remedy in remedies),
    }


def _plain(value: Decimal | None) -> str:
    return "" if value is None else f"{value.normalize():f}"


def _recorded(sheets: JobSheets) -> list[dict[str, Any]]:
    """The rows of the job's Findings as they stand: code, sides, and the row."""
    from quotekit.workbook.columns import JOB_FINDINGS

    return [
        {"code": row.values["finding"], "sides": list(row.values.get("side", ())), "row": row.source.row}
        for row in sheets.rows.of(JOB_FINDINGS)
        if row.values.get("finding")
    ]


def _next(inputs: Inputs, sheets: JobSheets, possible: set[str]) -> list[dict[str, str]]:
    """What a remedy's limits need measured, then what recorded faults say to check also."""
    from quotekit.cli.quote import price
    from quotekit.problems import has_errors

    assert inputs.book is not None
    quote = None if has_errors(inputs.problems) else price(inputs)[0]
    measure = quote.measure_next if quote is not None else ()
    look = quote.look_next if quote is not None else _also_check(inputs.book, sheets)
    named = [("measure", key) for key in measure] + [("look", code) for code in look]
    hints = [(why, *key.partition("@")[::2]) for why, key in named]
    return [{"why": why, "code": code, "side": side} for why, code, side in hints if code in possible]


def _also_check(book: ShopBook, sheets: JobSheets) -> Iterable[str]:
    """What recorded findings say to check also, where the job can't be priced yet."""
    from quotekit.workbook.names import code_key

    by_key = {code_key(code): finding for code, finding in book.findings.items()}
    recorded = [by_key[key] for one in _recorded(sheets) if (key := code_key(one["code"])) in by_key]
    known = {finding.code for finding in recorded}
    return sorted({code for finding in recorded for code in finding.also_check} - known)
