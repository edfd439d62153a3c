"""Explained figures as one JSON object: each a tree of values, rules and cells."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from quotekit.documents.quote_json import JsonObject, problem_json
from quotekit.model.explanation import Condition, Explanation, all_cells
from quotekit.model.quote import PricedTier, Quote
from quotekit.problems import Problem


def lay_out_explanation_json(
    quote: Quote,
    tier: PricedTier,
    figures: Iterable[Explanation],
    why: JsonObject | None,
    problems: Iterable[Problem] = (),
) -> JsonObject:
    """The figures of one tier, each with every cell it names, and why the tier is what it is."""
    return {
        "job": quote.job.job_number,
        "version": quote.job.version,
        "tier": tier.code,
        "figures": [figure_json(figure) for figure in figures],
        "why": why,
        "problems": [problem_json(problem) for problem in problems],
    }


def lay_out_refused_explanation_json(quote: Quote | None, problems: Iterable[Problem]) -> JsonObject:
    """The same fields where nothing can be explained."""
    return {
        "job": quote.job.job_number if quote else None,
        "version": quote.job.version if quote else None,
        "tier": None,
        "figures": [],
        "why": None,
        "problems": [problem_json(problem) for problem in problems],
    }


def figure_json(figure: Explanation) -> JsonObject:
    """A figure as it is asked for: its cells are all it names, in its tree and its conditions."""
    return {**_node(figure), "cells": [str(place) for place in all_cells(figure)]}


def _node(node: Explanation) -> JsonObject:
    return {
        "figure": node.figure,
        "value": list(node.value) if isinstance(node.value, tuple) else node.value,
        "rule": node.rule,
        "operation": node.operation,
        "rounding": node.rounding or None,
        "inputs": [_node(one) for one in node.inputs],
        "cells": [str(place) for place in node.cells],
        "conditions": _conditions(node.conditions),
    }


def _conditions(conditions: Sequence[Condition]) -> list[JsonObject]:
    return [{"why": one.why, "cells": [str(place) for place in one.cells]} for one in conditions]
