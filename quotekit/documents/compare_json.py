"""What changed, as one JSON object; amounts are decimal strings as in the quote's own."""

from __future__ import annotations

from decimal import Decimal

from quotekit.documents.quote_json import JsonObject, problem_json
from quotekit.model.comparison import ChangedCell, Comparison, MovedFigure
from quotekit.problems import Place


def lay_out_compare_json(found: Comparison) -> JsonObject:
    """The whole comparison."""
    return {
        "kind": found.kind,
        "old": found.old,
        "new": found.new,
        "cells": [_cell(cell) for cell in found.cells],
        "figures": [_figure(moved) for moved in found.figures],
        "notes": list(found.notes),
        "problems": [problem_json(problem) for problem in found.problems],
    }


def _cell(cell: ChangedCell) -> JsonObject:
    return {
        "cell": cell.place,
        "place_old": _place(cell.place_old),
        "place_new": _place(cell.place_new),
        "what": cell.what,
        "old": cell.old,
        "new": cell.new,
    }


def _figure(moved: MovedFigure) -> JsonObject:
    return {
        "job": moved.name.job,
        "tier": moved.name.tier,
        "figure": moved.name.figure,
        "old": moved.old,
        "new": moved.new,
        "difference": _number(moved.difference),
        "because": [cell.place for cell in moved.because],
        "alone": {place: _number(share) for place, share in moved.alone.items()},
        "together": _number(moved.together),
    }


def _place(place: Place | None) -> str | None:
    return None if place is None else str(place)


def _number(number: Decimal | None) -> str | None:
    """A number as it is, never as -0."""
    return None if number is None else f"{abs(number) if number == 0 else number:f}"
