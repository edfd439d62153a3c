"""Jobs in which nothing belongs together, chosen in ways that must agree."""

from __future__ import annotations

from collections import Counter

import pytest

from quotekit.pricing import build_quote, choose
from tests.solver.compare import compare_tiers
from tests.solver.many_ways import a_way, chosen, differences
from tests.solver.wild_jobs import a_large_case


@pytest.mark.parametrize(("style", "seed"), [("wild", 1), ("wilder", 2)])
def test_every_way_proves_the_same(style: str, seed: int) -> None:
    """Groups listed or stated by rules, three seeds of the solver: a dozen of findings, three tiers."""
    seen: Counter[str] = Counter()
    assert differences(*a_large_case(12, style, seed), seen) == []
    assert seen["proven in every way"] == seen["tiers"] == 3


@pytest.mark.parametrize("style", ["wild", "wilder"])
def test_the_second_solver_agrees(style: str) -> None:
    pytest.importorskip("ortools", reason="ortools is not installed (the extra `test`)")
    book, job = a_large_case(7, style, 4)
    found = list(compare_tiers(book, job, build_quote(book, job), 60.0))
    assert len(found) == 3
    assert [line for one in found for line in one.differences] == []


def test_a_way_is_left_as_it_was() -> None:
    """The limit holds while it is asked for, and a job chosen so says how it was chosen."""
    before = choose.MOST_LISTED
    with a_way(2, 7):
        assert choose.MOST_LISTED == 2
        assert set(chosen(*a_large_case(8, "wilder", 1))) == {"tier-0", "tier-1", "tier-2"}
    assert before == choose.MOST_LISTED
