"""Every style of large job is proven: the bound of each tier is its price, and no choice as good is left out."""

from __future__ import annotations

from fractions import Fraction

import pytest

from quotekit.pricing import build_quote
from quotekit.pricing.exact.flags import add_flag
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.narrow import tighten
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.solver import Solver
from tests.solver.big_jobs import STYLES, a_big_case


@pytest.mark.parametrize("style", STYLES)
def test_a_job_of_moderate_size_is_proven(style: str) -> None:
    """Twenty findings with four remedies each, at each of the three aims."""
    book, job = a_big_case(20, style, 2)
    tiers = build_quote(book, job).tiers
    assert len(tiers) == 3
    for tier in tiers:
        assert tier.proof is not None
        reached = tier.horizon_cost if tier.aim == "least to own" else tier.work
        assert (tier.proof.bound, tier.proof.gap, tier.proof.settled) == (reached, 0, True)
    assert "integer model" in {tier.proof.method for tier in tiers if tier.proof}


def test_broken_amounts_are_never_above_whole_ones() -> None:
    """0.4, 0.5 and 0.6 are 1.5 and 2 as money; with amounts that may be broken it may come to 1 only."""
    program = Program()
    taken, money = Line(), Line()
    for tenths in (4, 5, 6):
        flag = program.flag()
        add_flag(taken, flag)
        add_flag(money, flag, Fraction(tenths, 10))
    program.row(taken, low=3)
    rounded = program.rounded(money)
    solver, bounds = Solver(program, 20), []
    for loose in (True, False):
        solver.loosen(loose=loose)
        bounds.append(solver.least(rounded).bound)
    assert bounds == [1, 2]


def test_rows_stated_closer_leave_out_nothing_as_good() -> None:
    """Forty flags cost 1 each and what is above a ceiling of 10 costs nothing; at least twelve are taken.

    With at most twelve taken the sum lies from 12 to 12: the ceiling is reached, and the relaxed program knows it.
    """
    program = Program()
    taken = Line()
    for flag in [program.flag() for _ in range(40)]:
        add_flag(taken, flag)
    program.row(taken, low=12)
    cost = Line().plus(taken).plus(program.least_of(taken, 10), 5)
    before = Solver(program, 20).relaxed(cost, ())
    tighten(program, taken, 12, 20)
    after = Solver(program, 20).relaxed(cost, ())
    assert before is not None
    assert after is not None
    assert before.bound < 40
    assert 61 < after.bound <= 62
    assert Solver(program, 20).least(cost).bound == 62
