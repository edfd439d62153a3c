"""The Job sheet as the fields of a job (DESIGN.md 4)."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from quotekit.model.shop_book import MachineClass, ShopBook
from quotekit.problems import Place, Problem, error
from quotekit.record import record
from quotekit.workbook.book_records import is_unread, left_out_of
from quotekit.workbook.codes import Codes, resolve_row
from quotekit.workbook.column import Column
from quotekit.workbook.fields import FieldValues, read_fields
from quotekit.workbook.job_columns import JOB_FIELDS
from quotekit.workbook.names import code_key, did_you_mean, name_key
from quotekit.workbook.positions import DEFAULT_POSITIONS
from quotekit.workbook.rows import Row
from quotekit.workbook.tables import Table

EXEMPT = "exempt"
_ATTRIBUTES = {
    "Customer's words": "customers_words",
    "Customer's own parts": "own_parts",
    "Reassembly hours if declined": "reassembly_hours",
    "Upkeep a year after repair": "upkeep_after_repair",
    "Upkeep a year new": "upkeep_new",
}
_NOT_IN_FILE_NAMES = re.compile(r'[\\/:*?"<>|\x00-\x1f]')
_MOST_CHARACTERS = 100
"""Of a job number: it begins the names of the files of the job."""

REQUIRED = tuple(field.name for field in JOB_FIELDS if field.required)


@record
class JobFields:
    """Values by record field, and where each stands; `whole` is False where a required one is missing."""

    values: Mapping[str, Any]
    fields: FieldValues
    table: Table
    whole: bool

    def place(self, name: str) -> Place:
        """The cell of a field's value."""
        return self.fields.place(name, self.table.file, self.table.name)


def read_job_fields(table: Table, book: ShopBook | None, known: Mapping[str, Codes]) -> tuple[JobFields, list[Problem]]:
    """Every field, with codes spelled as in the shop book."""
    found, problems = read_fields(table, JOB_FIELDS)
    fields, more = job_fields_of(found, table, book, known)
    return fields, problems + more


def job_fields_of(
    found: FieldValues, table: Table, book: ShopBook | None, known: Mapping[str, Codes]
) -> tuple[JobFields, list[Problem]]:
    """The fields of what was typed on the sheet."""
    problems: list[Problem] = []
    values = {field_attribute(name): value for name, value in found.values.items()}
    job = JobFields(values=values, fields=found, table=table, whole=all(name in found.values for name in REQUIRED))
    if book is not None:
        for declared in JOB_FIELDS:
            if declared.refers_to and declared.name in found.values and declared.name != "Machine class":
                problems += _resolve(values, declared.name, declared.refers_to, job, known)
        problems += _read_machine(values, book, job)
    return job, problems + _check(values, job)


def field_attribute(name: str) -> str:
    """The field of `Job` that a field of the sheet fills.

    >>> field_attribute("Quote date"), field_attribute("Customer's own parts")
    ('quote_date', 'own_parts')
    """
    return _ATTRIBUTES.get(name, name.lower().replace(" ", "_"))


def _resolve(
    values: dict[str, Any], name: str, refers_to: tuple[str, ...], job: JobFields, known: Mapping[str, Codes]
) -> list[Problem]:
    field = field_attribute(name)
    column = Column(header="Value", field=field, refers_to=refers_to, help="")
    row, problems = resolve_row(Row(source=job.fields.sources[name], values=dict(values)), [column], known)
    values.pop(field)
    if field in row.values:
        values[field] = row.values[field]
    return problems


def _read_machine(values: dict[str, Any], book: ShopBook, job: JobFields) -> list[Problem]:
    text = values.get("machine_class")
    free = book.machines is None and not is_unread(book, "Machines")
    values["positions"] = DEFAULT_POSITIONS if free else ()
    if text is None:
        return []
    values["machine_class_name"] = text
    if free:
        values["machine_class"] = _as_in_book(text, book)
        return []
    if book.machines is None or code_key(text) in left_out_of(book, "Machines"):
        values["machine_class"] = ""
        return []
    matches = _machine_matches(text, book.machines.values())
    if len(matches) == 1:
        machine = matches[0]
        values.update(machine_class=machine.code, machine_class_name=machine.machine_class, positions=machine.positions)
        return []
    values["machine_class"] = ""
    return [_no_machine(text, book, job) if not matches else _two_machines(text, matches, job)]


def _as_in_book(text: str, book: ShopBook) -> str:
    """A free class, spelled as the first row of the book that names it."""
    named = [code for finding in book.findings.values() for code in finding.machines]
    named += [code for extra in book.extras.values() for code in extra.machines]
    named += [code for used in book.parts_used for code in used.machines]
    named += [code for tax in book.taxes for code in tax.machines]
    return next((code for code in named if code_key(code) == code_key(text)), text)


def _machine_matches(text: str, classes: Any) -> list[MachineClass]:
    listed: list[MachineClass] = list(classes)
    by_code = [machine for machine in listed if code_key(machine.code) == code_key(text)]
    return by_code or [machine for machine in listed if name_key(machine.machine_class) == name_key(text)]


def _no_machine(text: str, book: ShopBook, job: JobFields) -> Problem:
    names = [name for machine in (book.machines or {}).values() for name in (machine.code, machine.machine_class)]
    return error(
        job.place("Machine class"),
        "unknown-code",
        f"{text} is not a machine class of the shop book",
        f"{did_you_mean(text, names)}Use a code or a class of the sheet Machines.",
        text,
    )


def _two_machines(text: str, matches: list[MachineClass], job: JobFields) -> Problem:
    return error(
        job.place("Machine class"),
        "ambiguous-code",
        f"{text} is the name of {' and '.join(machine.code for machine in matches)}",
        "Type the code of the one that is meant.",
        text,
    )


def _check(values: dict[str, Any], job: JobFields) -> list[Problem]:
    found = [
        _check_number(values, job),
        _check_version(values, job),
        _check_exemption(values, job),
        _check_discount(values, job),
    ]
    return [problem for problem in found if problem is not None]


def _check_number(values: dict[str, Any], job: JobFields) -> Problem | None:
    number = values.get("job_number", "")
    place = job.place("Job number")
    if len(number) > _MOST_CHARACTERS:
        message = f"a job number of {len(number)} characters is too long for a file name"
        return error(place, "bad-job-number", message, f"Use at most {_MOST_CHARACTERS} characters.", number)
    if not _NOT_IN_FILE_NAMES.search(number) and not number.startswith("."):
        return None
    return error(
        place,
        "bad-job-number",
        f"the job number {number} cannot be used in a file name",
        'Leave out \\ / : * ? " < > | and a dot at the start.',
        number,
    )


def _check_version(values: dict[str, Any], job: JobFields) -> Problem | None:
    if values.get("version") != 0:
        return None
    return error(job.place("Version"), "bad-version", "the version is 0", "Versions count from 1.", "0")


def _check_exemption(values: dict[str, Any], job: JobFields) -> Problem | None:
    if name_key(values.get("customer_class", "")) != EXEMPT or values.get("exemption_certificate"):
        return None
    return error(
        job.place("Customer class"),
        "certificate-needed",
        "an exempt customer needs an exemption certificate",
        "Fill in Exemption certificate, or use another customer class.",
        values["customer_class"],
    )


def _check_discount(values: dict[str, Any], job: JobFields) -> Problem | None:
    if not values.get("discount_percent") or values.get("discount_reason"):
        return None
    return error(
        job.place("Discount percent"),
        "discount-reason-needed",
        "a discount needs its reason",
        "Fill in Discount reason, or empty Discount percent.",
        job.fields.texts.get("Discount percent", ""),
    )
