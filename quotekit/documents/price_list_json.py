"""A price list that was read, as JSON: amounts are decimal texts, lists have a fixed order."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from quotekit.documents.quote_json import problem_json
from quotekit.model.price_list import FATES, FoundPrice, ListedPrice, ListReport
from quotekit.problems import Problem

JsonObject = dict[str, Any]


def lay_out_report_json(
    report: ListReport | None, found: Iterable[FoundPrice], problems: Iterable[Problem]
) -> JsonObject:
    """The report; where the list could not be read only the problems."""
    listed = [problem_json(problem) for problem in problems]
    if report is None:
        return {"supplier": None, "rows": None, "fates": {}, "remarks": [], "found": [], "problems": listed}
    return {
        "supplier": report.supplier,
        "file": report.file,
        "sha256": report.sha256,
        "day": report.day.isoformat(),
        "currency": report.currency,
        "read_as": list(report.read_as),
        "rows": report.rows,
        "fates": {fate: report.fates[fate] for fate in FATES if fate in report.fates},
        "remarks": [
            {
                "code": remark.code,
                "says": remark.says,
                "rows": remark.rows,
                "examples": [{"row": each.row, "number": each.number, "text": each.text} for each in remark.examples],
            }
            for remark in report.remarks
        ],
        "found": [found_json(each) for each in found],
        "problems": listed,
    }


def found_json(found: FoundPrice) -> JsonObject:
    """What the list says of one number."""
    return {
        "asked": found.asked,
        "how": found.how,
        "price": None if found.price is None else price_json(found.price),
        "rows": [price_json(row) for row in found.rows],
        "nearest": list(found.nearest),
    }


def price_json(row: ListedPrice) -> JsonObject:
    """One row of a list."""
    return {
        "number": row.number,
        "row": row.row,
        "fate": row.fate,
        "cost": _text(row.cost),
        "cost_for": _text(row.cost_for),
        "pack": _text(row.pack),
        "list_price": _text(row.list_price),
        "list_for": _text(row.list_for),
        "lead_days": row.lead_days,
        "superseded_by": row.superseded_by or None,
        "currency": row.currency,
        "dated": row.dated and row.dated.isoformat(),
        "until": row.until and row.until.isoformat(),
        "unit": row.unit,
        "description": row.description,
    }


def _text(value: Decimal | None) -> str | None:
    return None if value is None else f"{value:f}"
