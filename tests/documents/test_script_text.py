"""Sums as a script: what is written, in which order, and how it grows."""

from __future__ import annotations

import itertools

from quotekit.documents.script_text import figure_names, script_expression, script_function
from quotekit.model.expression import Expression, Step, if_at_least, if_more, rest, rounded, total
from quotekit.pricing import build_quote
from tests.documents import quotes
from tests.documents.live_by_hand import live_by_hand
from tests.many_extras import job_with_extras

A, B = Step("a"), Step("b")
NAMES = {A: "a", B: "b"}


def written(expression: Expression) -> str:
    return script_expression(expression, NAMES)


def test_what_is_written() -> None:
    assert written(-3) == "(-3)"
    assert written(total(A, B, 2)) == "(a+b+2)"
    assert written(rounded(A, 1000)) == "Math.floor((a+500)/1000)"
    assert written(rest(A, 7)) == "(a%7)"
    assert written(if_more(A, B, 1, 0)) == "(Number(a>b)?1:0)"
    assert written(if_at_least(A, 3, B, -1)) == "(Number(a>=3)?b:(-1))"


def test_a_name_with_an_end_of_a_script_is_not_written() -> None:
    """Steps are numbered: no text of a workbook stands among the sums."""
    live = live_by_hand(quotes.three())
    lines = script_function(live).splitlines()
    assert lines[0] == "function figures(t,x){" and lines[-1] == "}"
    assert all(line.startswith(("const v", "return[v")) for line in lines[1:-1])
    assert len(lines) == len(live.steps) + 3


def test_results_are_in_the_order_of_their_names() -> None:
    live = live_by_hand(quotes.three())
    results = script_function(live).rpartition("return[")[2].partition("]")[0].split(",")
    names = figure_names(live)
    assert len(results) == len(names)
    place = {step: f"v{n}" for n, step in enumerate(live.steps)}
    assert results[names.index("total")] == place[live.figures["total"]]
    assert results[names.index("tax 2")] == place[live.taxes[1][1]]


def test_it_grows_in_a_straight_line() -> None:
    lives = [build_quote(*job_with_extras(count)).live for count in (10, 20, 30, 40)]
    sizes = [len(script_function(live)) for live in lives if live is not None]
    steps = [after - before for before, after in itertools.pairwise(sizes)]
    assert len(steps) == 3 and max(steps) < 1.2 * min(steps)
