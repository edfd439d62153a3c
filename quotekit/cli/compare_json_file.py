"""Reads an output of `quote --json` that was saved to a file."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from quotekit.problems import Place, Problem, error

_REMEDY = "Give what quote --json printed, saved as it is."


def read_quote_json(path: Path) -> tuple[Mapping[str, object] | None, list[Problem]]:
    """The object in a file, or the problem that it is none of ours, or one without figures."""
    try:
        value = json.loads(path.read_text(encoding="utf-8-sig"), parse_float=str)
    except (ValueError, RecursionError):
        return None, [_refused(path, "unreadable-json", "this is no JSON that can be read")]
    if not isinstance(value, dict) or not isinstance(value.get("tiers"), list) or not value.get("job"):
        message = "this JSON is no output of quote --json with a job and its options"
        return None, [_refused(path, "not-a-quote", message)]
    if not value["tiers"]:
        message = "this output of quote --json has no option: the job had errors then"
        return None, [_refused(path, "not-a-quote", message)]
    return value, []


def _refused(path: Path, code: str, message: str) -> Problem:
    return error(Place(path.name), code, message, _REMEDY)
