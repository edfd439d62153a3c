"""The review as one JSON object: every amount, hour and share a decimal string, variances with their sign."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from typing import Any

from quotekit.documents.quote_json import JsonObject, problem_json
from quotekit.model.record_json import to_json
from quotekit.model.review import Review, Variance
from quotekit.problems import Problem


def lay_out_review_json(review: Review | None, problems: Iterable[Problem], files: Iterable[str] = ()) -> JsonObject:
    """All figures by the names of the records; without a review its problems alone."""
    told = {"problems": [problem_json(problem) for problem in problems], "files": list(files)}
    found: JsonObject = {} if review is None else _json(review)
    return {**found, **told}


def _json(value: object) -> Any:
    if isinstance(value, Variance):
        return {"amount": to_json(value.amount), "sign": value.sign}
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _json(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, tuple):
        return [_json(one) for one in value]
    return to_json(value)
