"""Explained figures as one JSON object: each a tree of values, rules and cells."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from quotekit.documents.quote_json import JsonObject, problem_json
from quotekit.model.explanation import Condition, Explanation, Value, all_cells, shown_elsewhere
from quotekit.model.quote import PricedTier, Quote
from quotekit.problems import Problem

Known = Mapping[str, Value]
"""Figures by their names, each of which is told in full elsewhere."""
NOTHING: Known = MappingProxyType({})
MISSING = object()


def lay_out_explanation_json(
    quote: Quote,
    tier: PricedTier,
    figures: Iterable[Explanation],
    why: JsonObject | None,
    problems: Iterable[Problem] = (),
    *,
    in_short: bool = False,
) -> JsonObject:
    """The figures of one tier, each with every cell it names, and why the tier is what it is.

    In short, where figures are asked for all together, a figure that goes into another is told by its value there, and
    its tree stands once, under its own name (`elsewhere`).
    """
    listed = list(figures)
    known = {figure.figure: figure.value for figure in listed} if in_short else {}
    return {
        "job": quote.job.job_number,
        "version": quote.job.version,
        "tier": tier.code,
        "figures": [figure_json(figure, known) for figure in listed],
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


def figure_json(figure: Explanation, known: Known = NOTHING) -> JsonObject:
    """A figure as it is asked for: its cells are all it names, in its tree and its conditions.

    What goes into it is told whole, but for the figures that are known under their own names.
    """
    return {**_node(figure, known), "cells": [str(place) for place in all_cells(figure)]}


def _node(node: Explanation, known: Known) -> JsonObject:
    return {
        "figure": node.figure,
        "value": list(node.value) if isinstance(node.value, tuple) else node.value,
        "rule": node.rule,
        "operation": node.operation,
        "rounding": node.rounding or None,
        "inputs": [_inner(one, known) for one in node.inputs],
        "cells": [str(place) for place in node.cells],
        "conditions": _conditions(node.conditions),
    }


def _inner(node: Explanation, known: Known) -> JsonObject:
    """A node on the way; a figure that is known by the same value stands under its own name."""
    if node.inputs and known.get(node.figure, MISSING) == node.value:
        return {**_node(replace(node, inputs=(), cells=()), known), **_elsewhere(node)}
    return _node(node, known)


def _elsewhere(node: Explanation) -> JsonObject:
    return {"rule": shown_elsewhere(node.rule), "operation": "elsewhere", "rounding": None}


def _conditions(conditions: Sequence[Condition]) -> list[JsonObject]:
    return [{"why": one.why, "cells": [str(place) for place in one.cells]} for one in conditions]
