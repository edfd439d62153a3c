"""Measured hours for the tests of accuracy, a line a job.

>>> [str(one.actual) for one in measured("FIT 0.5: 0.6 0.4")]
['0.6', '0.4']
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from quotekit.model.review import Circumstance
from quotekit.pricing.review.measured import Measured

FIRST = date(2026, 1, 5)


def measured(text: str, circumstance: Circumstance = "usual", condition: str = "", **values: Any) -> list[Measured]:
    """`CODE standard: hours hours ...; CODE ...`, a job a day; a code in capitals with `STEP` is a step."""
    found = []
    for entry in filter(None, (entry.strip() for entry in text.split(";"))):
        head, _, hours = entry.partition(":")
        code, standard = head.split()
        for place, actual in enumerate(hours.split()):
            named: dict[str, Any] = {
                "job": f"{code}-{place}",
                "on": FIRST + timedelta(days=place),
                "kind": "access" if code.startswith("STEP") else "operation",
                "code": code,
                "name": code.title(),
                "circumstance": circumstance,
                "condition": condition,
                "standard": Decimal(standard),
                "actual": Decimal(actual),
                "norm": Decimal(standard),
            }
            found.append(Measured(**named | values))
    return found


def repeated(hours: Sequence[str], times: int) -> str:
    """The same hours over again."""
    return " ".join([*hours] * times)
