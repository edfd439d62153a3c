"""The job's Extras, One-off and Plan sheets (DESIGN.md 4 and 5.9)."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any

from quotekit.model.job import ONE_OFF, FoundFinding, JobExtra, OneOff, PlanItem, at_side
from quotekit.model.shop_book import Remedy, ShopBook
from quotekit.problems import Problem, error, warning
from quotekit.workbook.check_markup import Band, check_unit_cost
from quotekit.workbook.codes import Codes, resolve
from quotekit.workbook.job_findings import Machine
from quotekit.workbook.positions import spread
from quotekit.workbook.rows import Row
from quotekit.workbook.sided import is_sided, operations_are_sided


def read_job_extras(rows: Iterable[Row], book: ShopBook, machine: Machine) -> tuple[list[JobExtra], list[Problem]]:
    """Extras of the job, one record a side."""
    extras: list[JobExtra] = []
    problems: list[Problem] = []
    rows_of: dict[str, int] = {}
    for row in rows:
        extra = book.extras.get(row.values.get("extra", ""))
        if extra is None:
            continue
        if not machine.is_one_of(extra.machines):
            problems.append(_wrong_machine(row, extra.code, extra.machines, machine))
        sided = operations_are_sided(book, extra.operations)
        sides, found = _sides(row, extra.code, sided, machine)
        problems += found
        asked = row.values.get("customer_asked", False)
        for side in sides:
            one = JobExtra(code=extra.code, side=side, asked=asked, source=row.source)
            problems += _again(rows_of, at_side(one.code, side), row, "Extra", extra.code)
            extras.append(one)
    return extras, problems


def read_plan(
    rows: Iterable[Row], book: ShopBook, machine: Machine, faults: Sequence[FoundFinding] | None
) -> tuple[list[PlanItem], list[Problem]]:
    """The technician's own choice, one record a side; faults are None where a finding could not be read."""
    items: list[PlanItem] = []
    problems: list[Problem] = []
    rows_of: dict[str, int] = {}
    for row in rows:
        tier, code = row.values.get("tier"), row.values.get("item")
        if tier is None or code is None or not _is_there(book, code):
            continue
        sides, found = _sides(row, code, is_sided(book, code), machine)
        problems += found
        for side in sides:
            items.append(PlanItem(tier=tier, code=code, side=side, source=row.source))
            problems += _again(rows_of, f"{tier}: {at_side(code, side)}", row, "Item", code)
            if code in book.remedies and faults is not None:
                problems += _fixes_nothing(book.remedies[code], side, faults, row)
    return items, problems


def read_one_off(
    rows: Iterable[Row], findings: Codes, bands: Sequence[Band] | None
) -> tuple[list[OneOff], list[Problem]]:
    """Lines no shop book foresees, named ONEOFF-1 and on in row order."""
    lines: list[OneOff] = []
    problems: list[Problem] = []
    for number, row in enumerate(rows, 1):
        values, found = _with_fixes(row, findings)
        problems += found
        if row.sound:
            tiers = values.pop("tier", ())
            line = OneOff(**values, tiers=tiers, code=f"{ONE_OFF}{number}", source=row.source)
            problems += _check_prices(line, bands)
            lines.append(line)
    return lines, problems


def _sides(row: Row, code: str, sided: bool, machine: Machine) -> tuple[tuple[str | None, ...], list[Problem]]:
    entries = row.values.get("side", ())
    place = row.source.place("Side")
    if not sided:
        return (None,), [_ignored(row, code)] if entries else []
    if not entries:
        return (), [
            error(
                place,
                "side-needed",
                f"{code} is done each side, and the side is blank",
                f"Type a side: {'; '.join(machine.positions)}, or all.",
            )
        ]
    return spread(entries, machine.positions, place)


def _ignored(row: Row, code: str) -> Problem:
    return warning(
        row.source.place("Side"),
        "side-ignored",
        f"{code} has no side, so the side is not used",
        "Empty the cell, or check the code.",
        "; ".join(row.values["side"]),
    )


def _wrong_machine(row: Row, code: str, classes: Iterable[str], machine: Machine) -> Problem:
    return warning(
        row.source.place("Extra"),
        "extra-of-other-class",
        f"{code} is an extra of {'; '.join(classes)}, not of {machine.code}; it is offered as the job lists it",
        "Check that it fits this machine, or correct the Machine class of the job.",
        code,
    )


def _again(rows_of: dict[str, int], key: str, row: Row, column: str, text: str) -> list[Problem]:
    before = rows_of.setdefault(key, row.source.row)
    if before == row.source.row:
        return []
    return [
        error(
            row.source.place(column),
            "listed-twice",
            f"{key} is already in row {before}",
            "Keep one of the two rows.",
            text,
        )
    ]


def _is_there(book: ShopBook, code: str) -> bool:
    return code in book.remedies or code in book.extras or code in book.operations


def _fixes_nothing(remedy: Remedy, side: str | None, faults: Sequence[FoundFinding], row: Row) -> list[Problem]:
    if any(fault.code in remedy.fixes and (side is None or fault.side in (side, None)) for fault in faults):
        return []
    return [
        warning(
            row.source.place("Item"),
            "plan-fixes-nothing",
            f"{at_side(remedy.code, side)} puts right no fault of this job",
            f"It fixes {'; '.join(remedy.fixes)}: check the item and its side.",
            remedy.code,
        )
    ]


def _with_fixes(row: Row, here: Codes) -> tuple[dict[str, Any], list[Problem]]:
    values = dict(row.values)
    fixes = []
    problems = []
    for code in row.values.get("fixes", ()):
        spelled, problem = resolve(code, [here], row.source.place("Fixes"))
        if problem is not None:
            problems.append(problem)
        if spelled is not None and spelled not in fixes:
            fixes.append(spelled)
    values["fixes"] = tuple(fixes)
    return values, problems


def _check_prices(line: OneOff, bands: Sequence[Band] | None) -> list[Problem]:
    if line.kind == "labour":
        return _labour_price(line)
    if line.unit_price is not None:
        return []
    if line.kind == "charge" or line.unit_cost is None:
        needs = "a Unit price" if line.kind == "charge" else "a Unit cost or a Unit price"
        return [
            error(
                line.source.place("Unit price"),
                "one-off-without-price",
                f"the {line.kind} {line.line} needs {needs}",
                "Fill it in, before tax.",
            )
        ]
    if line.kind != "part":
        return []
    place = line.source.place("Unit cost")
    found = check_unit_cost(Fraction(line.unit_cost), bands, place, line.line, f"{line.unit_cost:f}")
    return [found] if found is not None else []


def _labour_price(line: OneOff) -> list[Problem]:
    given: list[tuple[str, Decimal | None]] = [("Unit cost", line.unit_cost), ("Unit price", line.unit_price)]
    return [
        warning(
            line.source.place(column),
            "one-off-price-ignored",
            f"{column} of the labour {line.line} is not used: labour is billed by the hour",
            "Empty the cell, or make the line a charge.",
            f"{value:f}",
        )
        for column, value in given
        if value is not None
    ]
