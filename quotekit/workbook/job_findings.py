"""The job's Findings sheet: each row spread over its sides, measured, judged and named (DESIGN.md 4 and 5.1)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from quotekit.model.job import FoundFinding
from quotekit.model.shop_book import Finding, ShopBook
from quotekit.problems import Problem, error, warning
from quotekit.record import record
from quotekit.workbook.codes import Codes, codes_of, resolve
from quotekit.workbook.measurement import Measurement, far_off, in_unit, judge, kept
from quotekit.workbook.names import code_key
from quotekit.workbook.positions import spread
from quotekit.workbook.rows import Row

OTHER = "OTHER"


@record
class Machine:
    """The machine of the job: its class as the book's rows name it, and its positions."""

    code: str
    positions: tuple[str, ...]

    def is_one_of(self, classes: Iterable[str]) -> bool:
        """True when a row for these classes, blank for all, counts on this machine."""
        listed = {code_key(code) for code in classes}
        return not listed or not self.code or code_key(self.code) in listed


def read_job_findings(
    rows: Iterable[Row], book: ShopBook, machine: Machine, known: Mapping[str, Codes]
) -> tuple[list[FoundFinding], list[Problem]]:
    """Every finding recorded on this machine, one record a side."""
    found: list[FoundFinding] = []
    problems: list[Problem] = []
    others = 0
    for row in rows:
        code = row.values.get("finding")
        if code is None:
            continue
        if code_key(code) == code_key(OTHER):
            others += 1
            one, faults = _read_other(row, f"{OTHER}-{others}")
        else:
            one, faults = _read_known(row, code, book, machine, known)
        sides, more = spread(row.values.get("side", ()), machine.positions, row.source.place("Side"))
        problems += faults + more + _check_photo(row)
        if one is not None and (sides or not more):
            found += [replace(one, side=side) for side in sides or (None,)]
    return found, problems + _duplicates(found)


def named_findings(rows: Iterable[Row], book: Codes) -> Codes:
    """The codes that this job's Findings sheet names, OTHER-1 and on among them."""
    codes: list[str] = []
    others = 0
    for row in rows:
        code: str = row.values.get("finding", "")
        if code_key(code) == code_key(OTHER):
            others += 1
            code = f"{OTHER}-{others}"
        codes.append(book.find(code) or code)
    return codes_of("this job's Findings", filter(None, codes))


def _read_other(row: Row, code: str) -> tuple[FoundFinding | None, list[Problem]]:
    note, severity = row.values.get("note", ""), row.values.get("severity")
    problems = [
        error(
            row.source.place(header),
            "other-incomplete",
            f"a finding {OTHER} needs a {header.lower()}",
            "Say in Note what was found, and choose a Severity.",
        )
        for header, value in (("Severity", severity), ("Note", note))
        if not value
    ]
    if severity is None or not note:
        return None, problems
    finding = Finding(code=code, finding=note, severity=severity)
    return _record(
        row, finding, _measure(row, finding, row.values.get("unit", "")), row.values.get("unit", "")
    ), problems


def _read_known(
    row: Row, code: str, book: ShopBook, machine: Machine, known: Mapping[str, Codes]
) -> tuple[FoundFinding | None, list[Problem]]:
    place = row.source.place("Finding")
    spelled, problem = resolve(code, [known["Findings"]], place)
    if problem is not None:
        return None, [problem]
    finding = book.findings.get(spelled or "")
    if finding is None:
        return None, []
    problems = _check_row(row, finding, machine)
    unit = finding.unit or row.values.get("unit", "")
    try:
        measurement = _measure(row, finding, unit)
    except ValueError as fault:
        return None, [*problems, _bad_unit(row, finding, str(fault))]
    problems += _check_measurement(row, finding, measurement, unit)
    return _record(row, finding, measurement, unit), problems


def _check_row(row: Row, finding: Finding, machine: Machine) -> list[Problem]:
    problems = []
    if not machine.is_one_of(finding.machines):
        problems.append(
            error(
                row.source.place("Finding"),
                "wrong-machine",
                f"{finding.code} is a finding of {'; '.join(finding.machines)}, not of {machine.code}",
                "Choose a finding of this machine class, or correct the Machine class of the job.",
                row.values["finding"],
            )
        )
    if "severity" in row.values and not row.values.get("note"):
        problems.append(
            error(
                row.source.place("Note"),
                "severity-needs-note",
                f"the severity of {finding.code} is set by hand, without a reason",
                "Say why in Note, or empty Severity.",
            )
        )
    return problems


def _measure(row: Row, finding: Finding, unit: str) -> Measurement:
    """The row's own limit and value as new take the place of the book's; all in one unit."""
    row_unit = row.values.get("unit") or unit
    measured = in_unit(row.values.get("measured"), row_unit, unit)
    limit = in_unit(row.values.get("limit"), row_unit, unit)
    as_new = in_unit(row.values.get("as_new"), row_unit, unit)
    if limit is None and finding.limit is not None:
        limit = Fraction(finding.limit)
    if as_new is None and finding.as_new is not None:
        as_new = Fraction(finding.as_new)
    passes = judge(measured, limit, finding.fails_when)
    return Measurement(measured=measured, limit=limit, as_new=as_new, passes=passes)


def _bad_unit(row: Row, finding: Finding, fault: str) -> Problem:
    unit = row.values.get("unit", "")
    return error(
        row.source.place("Unit"),
        "unit-does-not-convert",
        f"{unit} cannot be converted to {finding.unit}, the unit of {finding.code}: {fault}",
        f"Give the measurement in {finding.unit}, or in a unit that converts to it.",
        unit,
    )


def _check_measurement(row: Row, finding: Finding, found: Measurement, unit: str) -> list[Problem]:
    problems = []
    if found.measured is not None and "limit" in row.values and finding.limit is None and finding.fails_when is None:
        problems.append(
            error(
                row.source.place("Limit"),
                "fails-when-missing",
                f"{finding.code} has a limit, but the shop book does not say when it fails",
                "Type above or below in Fails when of the shop book's Findings.",
                f"{kept(found.limit):f}",
            )
        )
    if far_off(found.measured, found.limit):
        row_unit = row.values.get("unit") or unit
        problems.append(
            warning(
                row.source.place("Measured"),
                "far-off-limit",
                f"{finding.code} measures {row.values['measured']:f} {row_unit}, more than ten times off its limit of "
                f"{kept(found.limit):f} {unit}".rstrip(),
                f"Check the number, and that it was measured in {row_unit or 'the unit of the limit'}.",
                f"{row.values['measured']:f}",
            )
        )
    return problems


def _record(row: Row, finding: Finding, found: Measurement, unit: str) -> FoundFinding:
    typed = row.values.get("severity")
    fault = typed is not None or found.passes is not True
    decided = found.passes is False or (found.passes is True and typed is None)
    return FoundFinding(
        code=finding.code,
        name=finding.finding,
        severity=(typed or finding.severity) if fault else "watch",
        fault=fault,
        judged=not decided,
        measure=finding.measure,
        unit=unit,
        measured=kept(found.measured),
        measured_text=_measured_text(row, unit),
        fails_when=finding.fails_when,
        limit=kept(found.limit),
        as_new=kept(found.as_new),
        limit_source=row.values.get("limit_source") or ("" if "limit" in row.values else finding.limit_source),
        note=row.values.get("note", ""),
        photo=row.values.get("photo", ""),
        customer_wording=finding.customer_wording,
        if_left=finding.if_left,
        also_check=finding.also_check,
        severity_typed=typed is not None,
        source=row.source,
    )


def _measured_text(row: Row, unit: str) -> str:
    measured = row.values.get("measured")
    if measured is None:
        return ""
    return f"{measured:f} {row.values.get('unit') or unit}".strip()


def _check_photo(row: Row) -> list[Problem]:
    photo = row.values.get("photo", "")
    if not photo or not (set(photo) & set("/\\:") or photo in (".", "..")):
        return []
    return [
        error(
            row.source.place("Photo"),
            "photo-not-beside",
            f"the photo {photo} is not a plain file name",
            "Put the picture beside the job workbook and type its name only.",
            photo,
        )
    ]


def _duplicates(found: Iterable[FoundFinding]) -> list[Problem]:
    first: dict[str, FoundFinding] = {}
    problems = []
    for finding in found:
        before = first.setdefault(finding.key, finding)
        if before is not finding:
            problems.append(
                error(
                    finding.source.place("Finding"),
                    "duplicate-finding",
                    f"{finding.key} is already recorded in row {before.source.row}",
                    "Keep one of the two rows, or give them different sides.",
                    finding.code,
                )
            )
    return problems
