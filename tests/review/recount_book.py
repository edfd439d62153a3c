"""What the sheets of the review's workbook should say, row by row, from the recount; and what the file says."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import openpyxl

Json = dict[str, Any]
Line = tuple[Any, ...]
UNKNOWN = "not known"
VARIANCES = ("labour_rate", "labour_time", "material_price", "material_quantity")


def differences(path: Path, told: Json) -> list[str]:
    """Rows of the recount that no row of the workbook is, and rows of its long tables that the recount has not."""
    book = openpyxl.load_workbook(path)
    found = []
    for sheet, lines in expected(told).items():
        rows = [_values(row) for row in book[sheet].iter_rows(values_only=True)]
        there = {row for row in rows if row}
        found += [f"{sheet}: no row says {line}" for line in map(_values, lines) if line not in there]
        dated = sum(bool(row) and isinstance(row[0], str) and _is_day(row[0]) for row in rows)
        wanted = {"Jobs": len(told["jobs"]) + len(told["comebacks"]), "Variances": len(told["jobs"])}.get(sheet, 0)
        if dated != wanted:
            found.append(f"{sheet}: {dated} rows begin with a day, {wanted} in the recount")
    return found


def expected(told: Json) -> dict[str, list[Line]]:
    """By sheet: the texts and numbers of each row, blanks left out."""
    return {
        "Review": [*_summary(told)],
        "Jobs": [*map(_job, told["jobs"]), *map(_comeback, told["comebacks"])],
        "Variances": [_variances(job) for job in told["jobs"]],
        "Times": [*_times(told)],
        "Quotes": [*_quotes(told)],
        "Parts": [
            tuple(one[name] for name in ("lines", "sales", "cost", "margin", "share")) for one in told["parts"]["bands"]
        ],
    }


def _summary(told: Json) -> Iterator[Line]:
    totals, hours = told["totals"], told["productivity"]
    known = totals["known"]
    yield ("Jobs", told["totals"]["jobs"])
    for words, name in (
        ("Invoiced before tax", "invoiced"),
        ("Less outside work", "sublet"),
        ("Less freight", "freight"),
    ):
        yield (words, totals[name] if known else UNKNOWN)
    yield ("Less parts, as they really cost", totals["parts"] if known else UNKNOWN)
    yield ("Less labour, at what an hour costs the shop", totals["labour"] if known else UNKNOWN)
    yield ("Profit of the jobs", totals["profit"] if known else UNKNOWN)
    yield ("Sold hours", hours["sold"])
    yield ("Hours worked on jobs", hours["actual"])
    for name, title in zip(
        VARIANCES, ("Labour rate", "Labour time", "Material price", "Material quantity"), strict=True
    ):
        if totals["variances"][name] is not None:
            yield (title, totals["variances"][name]["amount"])
    for month in told["months"]:
        money = (month["invoiced"], month["profit"]) if month["known"] else (UNKNOWN, UNKNOWN)
        yield (
            month["first"][:7],
            month["jobs"],
            *money,
            UNKNOWN if month["per_bench_hour"] is None else month["per_bench_hour"],
            month["sold_hours"],
            month["actual_hours"],
        )


def _job(job: Json) -> Line:
    marks = "; ".join([*job["tags"], *([f"of {job['first_job']}"] if job["first_job"] else []), *job["unknown"]])
    bought = None if job["sublet"] is None else Fraction(job["sublet"]) + Fraction(job["freight"])
    worked = None if "no hours" in job["tags"] else job["actual_hours"]
    names = ("first_quoted", "agreed", "invoiced", "parts", "labour")
    money = (*(job[name] for name in names), bought, job["profit"], job["after_comebacks"], job["per_bench_hour"])
    return (job["closed"], job["job"], job["machine"], job["option"], marks or None, *money, job["sold_hours"], worked)


def _comeback(one: Json) -> Line:
    return tuple(one[name] for name in ("closed", "job", "first_job", "cause", "hours", "result", "lost_work"))


def _variances(job: Json) -> Line:
    each = [job["variances"][name] for name in VARIANCES]
    signed = [
        value for one in each for value in ((None, None) if one is None else (one["amount"], one["sign"] or None))
    ]
    return (job["closed"], job["job"], job["machine"], *signed)


def _times(told: Json) -> Iterator[Line]:
    kinds = {"operation": "operation", "access": "access step"}
    of = {"usual": "usual jobs", "rust": "rusty jobs", "minimum": "minimum charge"}
    for one in told["accuracy"]:
        says = "as timed" if Fraction(one["low"]) <= 1 <= Fraction(one["high"]) else (
            "takes longer" if Fraction(one["shrunk"]) > 1 else "takes less")  # fmt: skip
        says += f"; {one['older']} under an older time" if one["older"] else ""
        names = ("jobs", "standard", "actual", "ratio", "spread", "weight", "shrunk", "low", "high")
        head = (one["code"], one["name"], kinds[one["kind"]], of[one["circumstance"]])
        yield (*head, *(one[name] for name in names), says)
    for one in told["split"]:
        yield (one["code"], one["name"], one["jobs"], one["standard"], one["hours"])


def _quotes(told: Json) -> Iterator[Line]:
    for one in told["wins"]:
        names = ("name", "shown", "open", "chosen", "other_chosen", "declined", "lapsed", "rate")
        yield tuple(one[name] if one[name] is not None else "-" for name in names)
    for one in told["ageing"]:
        yield (f"{one['name']} days", one["open"], one["open_from"], one["accepted"], one["declined"])
    for one in told["lost"]:
        yield (one["reason"], one["quotes"])
    for one in told["tier_losses"]:
        chance = ("too few jobs",) if one["chance"] is None else (one["chance"], one["low"], one["high"])
        yield (
            one["name"],
            one["jobs"],
            one["losing"],
            *chance,
            "-" if one["cost_ratio"] is None else one["cost_ratio"],
        )
    for one in told["losses"]:
        chance = ("too few jobs",) if one["chance"] is None else (one["chance"], one["low"], one["high"])
        like = f"{one['jobs']}" if one["same_tier"] else f"{one['jobs']}, all options"
        yield (
            f"{one['job']}-{one['version']}",
            one["name"],
            one["subtotal"],
            one["cost"],
            like,
            one["losing"],
            *chance,
        )


def _values(row: tuple[Any, ...]) -> Line:
    """Comparable: numbers to eight decimals, days as text, no blanks; asides that only explain are left out."""
    made = [_value(value) for value in row if value not in (None, "")]
    if made and made[0] in _WITH_ASIDES:
        return tuple(made[:2])
    if made and isinstance(made[0], str) and made[0].startswith("over "):
        return tuple(value for value in made[1:] if value != "-")
    return tuple(made)


_WITH_ASIDES = {
    "Jobs", "Invoiced before tax", "Less outside work", "Less freight", "Less parts, as they really cost", "Sold hours",
    "Less labour, at what an hour costs the shop", "Profit of the jobs", "Hours worked on jobs", "Labour rate",
    "Labour time", "Material price", "Material quantity",
}  # fmt: skip


def _value(value: Any) -> Any:
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, datetime | date):
        return f"{value:%Y-%m-%d}"
    if isinstance(value, int | float | Fraction | Decimal):
        return f"{float(value):.8f}"
    try:
        return f"{float(value):.8f}" if "." in value or value.lstrip("-").isdigit() else " ".join(value.split())
    except ValueError:
        return " ".join(value.split())


def _is_day(value: str) -> bool:
    return len(value) == 10 and value[4] == value[7] == "-"
