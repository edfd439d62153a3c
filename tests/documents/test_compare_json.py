"""What changed as JSON: where each cell was and is, and how much of a difference went with it."""

from __future__ import annotations

import json
from decimal import Decimal as D
from typing import Any

import pytest

from quotekit.documents.compare_json import lay_out_compare_json
from quotekit.documents.quote_json import problem_json
from quotekit.model.comparison import ChangedCell, Comparison, FigureName, MovedFigure
from quotekit.problems import Place, Problem

OLD, NOW = Place("old.xlsx", "Parts", "D7"), Place("new.xlsx", "Parts", "D8")


def cell(before: Place | None = OLD, now: Place | None = NOW, **values: Any) -> ChangedCell:
    given: dict[str, Any] = {"what": "Pack cost of SEAL", "old": "10", "new": "12"}
    return ChangedCell(place_old=before, place_new=now, **(given | values))


def laid_out(**values: Any) -> Any:
    given: dict[str, Any] = {
        "kind": "shop books",
        "old": "old.xlsx",
        "new": "new.xlsx",
        "currency": "USD",
        "cells": (),
        "figures": (),
    }
    return lay_out_compare_json(Comparison(**(given | values)))


def figure(**values: Any) -> Any:
    name = values.pop("name", FigureName("117", "good", "total"))
    given: dict[str, Any] = {"old": "100.00", "new": "103.00", "difference": D("3.00")}
    return laid_out(figures=(MovedFigure(name=name, **(given | values)),))["figures"][0]


def test_nothing_changed() -> None:
    assert laid_out(notes=("Only this.",)) == {
        "kind": "shop books",
        "old": "old.xlsx",
        "new": "new.xlsx",
        "cells": [],
        "figures": [],
        "notes": ["Only this."],
        "problems": [],
    }


@pytest.mark.parametrize(
    ("before", "now", "place", "place_old", "place_new"),
    [
        (OLD, NOW, "new.xlsx:Parts!D8", "old.xlsx:Parts!D7", "new.xlsx:Parts!D8"),
        (None, NOW, "new.xlsx:Parts!D8", None, "new.xlsx:Parts!D8"),
        (OLD, None, "old.xlsx:Parts!D7 (before)", "old.xlsx:Parts!D7", None),
        (None, None, "Pack cost of SEAL (before)", None, None),
    ],
)
def test_where_a_cell_was_and_is(
    before: Place | None, now: Place | None, place: str, place_old: str | None, place_new: str | None
) -> None:
    """What is gone is named by where it was, and says that it was."""
    assert laid_out(cells=(cell(before, now),))["cells"] == [
        {
            "cell": place,
            "place_old": place_old,
            "place_new": place_new,
            "what": "Pack cost of SEAL",
            "old": "10",
            "new": "12",
        }
    ]


def test_a_blank_cell_is_null() -> None:
    found = laid_out(cells=(cell(old=None),))["cells"][0]
    assert (found["old"], found["new"]) == (None, "12")


def test_a_figure_with_the_cells_that_moved_it() -> None:
    """2.00 went with one cell alone, nothing could be said of the other, 1.00 came of both together."""
    other = cell(None, Place("new.xlsx", "Fees", "C3"))
    alone = {cell().place: D("2.00"), other.place: None}
    assert figure(because=(cell(), other), alone=alone, together=D("1.00")) == {
        "job": "117",
        "tier": "good",
        "figure": "total",
        "old": "100.00",
        "new": "103.00",
        "difference": "3.00",
        "because": ["new.xlsx:Parts!D8", "new.xlsx:Fees!C3"],
        "alone": {"new.xlsx:Parts!D8": "2.00", "new.xlsx:Fees!C3": None},
        "together": "1.00",
    }


@pytest.mark.parametrize(
    ("number", "text"),
    [
        ("3.00", "3.00"),
        ("-3.00", "-3.00"),
        ("0.00", "0.00"),
        ("-0.00", "0.00"),
        ("-0", "0"),
        ("1E+3", "1000"),
        ("1E-7", "0.0000001"),
    ],
)
def test_a_number_is_written_out_and_never_minus_nothing(number: str, text: str) -> None:
    found = figure(difference=D(number), together=D(number), alone={"a": D(number)})
    assert (found["difference"], found["together"], found["alone"]) == (text, text, {"a": text})


def test_words_have_no_difference_and_a_book_by_itself_has_no_job() -> None:
    found = figure(name=FigureName(None, None, "parts.SEAL.unit_price"), old=None, difference=None)
    assert (found["job"], found["tier"], found["old"], found["difference"]) == (None, None, None, None)
    assert (found["because"], found["alone"], found["together"]) == ([], {}, None)


def test_problems_stand_beside_and_all_can_be_written() -> None:
    problem = Problem(
        code="not-a-quote", severity="error", place=Place("x.json"), message="No quote.", remedy="Give one."
    )
    found = laid_out(problems=(problem,), cells=(cell(),))
    assert found["problems"] == [problem_json(problem)]
    assert json.loads(json.dumps(found)) == found
