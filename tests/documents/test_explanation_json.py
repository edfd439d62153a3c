"""Explained figures as JSON: a tree in full, or in short where its parts stand under their own names."""

from __future__ import annotations

import json
from typing import Any

import pytest

from quotekit.documents.explanation_json import (
    figure_json,
    lay_out_explanation_json,
    lay_out_refused_explanation_json,
)
from quotekit.documents.quote_json import problem_json
from quotekit.model.explanation import Condition, Explanation
from quotekit.pricing import build_quote
from quotekit.problems import Place, Problem
from tests.pricing.explain.small import a_shop, job_of

RATE, HOURS, TIER = Place("b.xlsx", "Labour", "C2"), Place("b.xlsx", "Operations", "D3"), Place("b.xlsx", "Tiers", "B2")
NET = Explanation(figure="hours.net", value="0.5", rule="As typed.", operation="given", cells=(HOURS,))
LABOUR = Explanation(
    figure="amounts.labour",
    value="50.00",
    rule="Hours x rate.",
    operation="product",
    rounding="half up to cents",
    inputs=(NET,),
    cells=(RATE,),
)
TOTAL = Explanation(
    figure="total",
    value="50.00",
    rule="All together.",
    operation="sum",
    inputs=(LABOUR,),
    conditions=(Condition(why="which remedies are taken", cells=(TIER,)),),
)
QUOTE = build_quote(BOOK := a_shop(), job_of(BOOK, version=3))
PROBLEM = Problem(code="no-figure", severity="error", place=Place("b.xlsx"), message="No.", remedy="Ask another.")


def test_a_figure_names_every_cell_of_its_tree_and_of_its_conditions() -> None:
    """What went into it names only what it reads itself."""
    found: Any = figure_json(TOTAL)
    assert found["cells"] == ["b.xlsx:Labour!C2", "b.xlsx:Operations!D3", "b.xlsx:Tiers!B2"]
    (labour,) = found["inputs"]
    assert labour["cells"] == ["b.xlsx:Labour!C2"]
    assert labour["inputs"][0]["cells"] == ["b.xlsx:Operations!D3"]


def test_every_field_of_a_node() -> None:
    found: Any = figure_json(LABOUR)
    assert list(found) == ["figure", "value", "rule", "operation", "rounding", "inputs", "cells", "conditions"]
    assert (found["figure"], found["value"], found["rule"]) == ("amounts.labour", "50.00", "Hours x rate.")
    assert (found["operation"], found["rounding"], found["conditions"]) == ("product", "half up to cents", [])
    assert found["inputs"][0]["rounding"] is None, "not rounded is null, never an empty text"


def test_conditions_say_why() -> None:
    found: Any = figure_json(TOTAL)
    assert found["conditions"] == [{"why": "which remedies are taken", "cells": ["b.xlsx:Tiers!B2"]}]


@pytest.mark.parametrize(
    ("value", "written"),
    [("1.00", "1.00"), (3, 3), (True, True), (None, None), (("A", "B"), ["A", "B"]), ((), [])],
)
def test_each_kind_of_value(value: Any, written: Any) -> None:
    found = figure_json(Explanation(figure="x", value=value, rule="A rule."))
    assert found["value"] == written and json.loads(json.dumps(found)) == found


def test_in_short_a_figure_that_is_listed_stands_once() -> None:
    """Inside the total the labour is a name and a value: its tree is under its own name."""
    laid_out: Any = lay_out_explanation_json(QUOTE, QUOTE.tiers[0], [TOTAL, LABOUR], None, in_short=True)
    total, labour = laid_out["figures"]
    assert total["inputs"] == [
        {
            "figure": "amounts.labour",
            "value": "50.00",
            "rule": "Shown under its own name: hours x rate.",
            "operation": "elsewhere",
            "rounding": None,
            "inputs": [],
            "cells": [],
            "conditions": [],
        }
    ]
    assert labour["inputs"][0]["figure"] == "hours.net" and labour["operation"] == "product"
    assert total["cells"] == ["b.xlsx:Labour!C2", "b.xlsx:Operations!D3", "b.xlsx:Tiers!B2"], "still all of them"


def test_asked_for_by_itself_a_figure_is_told_in_full() -> None:
    laid_out: Any = lay_out_explanation_json(QUOTE, QUOTE.tiers[0], [TOTAL, LABOUR], None)
    assert laid_out["figures"][0]["inputs"][0]["operation"] == "product"


def test_a_node_of_the_same_name_and_another_value_is_not_elsewhere() -> None:
    """The labour with an extra is called the same in its tree and is another number."""
    found: Any = figure_json(TOTAL, {"amounts.labour": "60.00"})
    assert found["inputs"][0]["operation"] == "product"


def test_a_leaf_is_told_where_it_stands_even_in_short() -> None:
    """It has no tree that would be said twice."""
    found: Any = figure_json(LABOUR, {"hours.net": "0.5"})
    assert found["inputs"][0]["operation"] == "given" and found["inputs"][0]["cells"] == ["b.xlsx:Operations!D3"]


def test_what_the_figures_are_of() -> None:
    why: Any = {"aim": "lowest price"}
    laid_out = lay_out_explanation_json(QUOTE, QUOTE.tiers[0], [], why, [PROBLEM])
    assert laid_out == {
        "job": "J-1",
        "version": 3,
        "tier": "good",
        "figures": [],
        "why": why,
        "problems": [problem_json(PROBLEM)],
    }


def test_a_refusal_has_the_same_fields() -> None:
    """Where the job was read its number is told, where it was not there is null."""
    told, nothing = (lay_out_refused_explanation_json(quote, [PROBLEM]) for quote in (QUOTE, None))
    assert told == {
        "job": "J-1",
        "version": 3,
        "tier": None,
        "figures": [],
        "why": None,
        "problems": [problem_json(PROBLEM)],
    }
    assert nothing == {**told, "job": None, "version": None}
