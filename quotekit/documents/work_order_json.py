"""The work order as one JSON object: every hour and quantity as text."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from quotekit.documents.quote_json import JsonObject, problem_json
from quotekit.model.work_order import WorkOrder
from quotekit.problems import Problem


def work_order_json(
    job: str, version: int, order: WorkOrder, files: Iterable[str], problems: Iterable[Problem] = ()
) -> JsonObject:
    """Steps in order, cautions, what to measure again, parts, and the files that were written."""
    return {
        "job": job,
        "version": version,
        "standard_hours": _plain(order.standard_hours),
        "allowance": _plain(order.allowance),
        "steps": [
            {"kind": step.kind, "work": step.key, "name": step.name, "side": step.side, "hours": _plain(step.hours)}
            for step in order.steps
        ],
        "cautions": [
            {"caution": line.code, "text": line.text, "source": line.source, "about": list(line.about)}
            for line in order.cautions
        ],
        "items": [item.key for item in order.items],
        "measure_again": [found.key for found in order.measurements],
        "parts": [
            {
                "part": part.part,
                "quantity": _plain(part.quantity),
                "places": {side: None if many is None else _plain(many) for side, many in part.places},
                "from": part.supplier,
                "own": part.own,
                "core": part.core,
            }
            for part in order.parts
        ],
        "problems": [problem_json(problem) for problem in problems],
        "files": list(files),
    }


def _plain(number: Decimal) -> str:
    return f"{number.normalize():f}"
