"""A tangle's rules hold for its choices and for nothing else; its lives are the longest there are."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

import pytest

from quotekit.pricing.aims import life_value
from quotekit.pricing.covers import Cover, Group, Tangle, groups_and_tangles
from quotekit.pricing.exact.lines import Line
from quotekit.pricing.exact.program import Program
from quotekit.pricing.exact.selection import TangledChoice, needless_among
from quotekit.pricing.exact.solver import Solver
from quotekit.pricing.exact.untangle import Untangler
from quotekit.pricing.setup import Setup, set_up
from tests import build
from tests.random_jobs import a_random_case
from tests.solver.big_jobs import a_big_case

MANY = 70
Case = tuple[str, int]
CASES: list[Case] = [("chained", 1), ("chained", 2), ("limits", 1), ("limits", 2), ("mixed", 1), ("random", 5)]


def tangles(case: Case) -> Iterator[tuple[Setup, Tangle, Group]]:
    """Groups of a small job that are not trivial, with all their choices."""
    kind, seed = case
    book, job = a_random_case(seed) if kind == "random" else a_big_case(3, kind, seed)
    setup = set_up(book, job)
    groups, _ = groups_and_tangles(setup.candidates, setup.candidates.faults, frozenset(), (), 100_000)
    for group in groups:
        if 1 < len(group.covers) < MANY:
            yield setup, Tangle(members=group.members), group


def untangler(setup: Setup) -> Untangler:
    """Of a tier that covers every finding and holds no one-off line."""
    return Untangler(setup, frozenset(setup.candidates.faults), frozenset(), ())


def choices_of(program: Program, choice: TangledChoice) -> set[frozenset[str]]:
    """Every choice the rules leave, each found once."""
    solver, found = Solver(program, 60), set()
    while len(found) <= MANY:
        answer = solver.least(Line())
        if answer.values is None:
            return found
        cover = choice.of(answer.values)
        found.add(frozenset(cover.codes))
        differs = Line()
        for key, flag in choice.taken.items():
            differs.plus(program.line_of(-flag if key in cover.codes else flag))
        program.row(differs, low=1)
    return found


@pytest.mark.parametrize("case", CASES, ids=str)
def test_the_rules_leave_the_choices_and_nothing_else(case: Case) -> None:
    """All choices found by branching are values of the program, and no others but for those that hold another whole."""
    seen = 0
    for setup, tangle, group in tangles(case):
        settled = untangler(setup).settle(tangle)
        program = Program()
        choice = untangler(setup).state(program, settled, (Decimal(0), Decimal(0)))
        listed = {frozenset(cover.codes) for cover in group.covers}
        by_rules = choices_of(program, choice)
        assert listed <= by_rules
        assert all(any(one < other for one in listed) for other in by_rules - listed)
        seen += len(listed)
    assert seen > 1


@pytest.mark.parametrize("case", CASES, ids=str)
def test_lives_are_the_longest_of_all_choices(case: Case) -> None:
    """The largest shortest life first, then the largest sum: looked up choice by choice."""
    for setup, tangle, group in tangles(case):
        covered = frozenset(setup.candidates.faults)
        lives = [life_value(cover.items, covered | cover.covered, setup.horizon) for cover in group.covers]
        of = untangler(setup)
        settled = of.settle(tangle)
        shortest = of.shortest(settled)
        together, cover = of.together(settled, shortest)
        assert (shortest, together) == max(lives)
        assert life_value(cover.items, covered | cover.covered, setup.horizon) == (shortest, together)


def a_tangle(*fixes: str) -> TangledChoice:
    """Remedies R0, R1, ... that each fix some of the findings A, B, C and so on."""
    findings = sorted(set("".join(fixes)))
    book = build.a_book(
        operations=[build.an_operation("WORK", 1)],
        findings=[build.a_finding(code) for code in findings],
        remedies=[build.a_remedy(f"R{n}", list(each), ["WORK"]) for n, each in enumerate(fixes)],
    )
    setup = set_up(book, build.a_job(*(build.a_finding_on(code) for code in findings)))
    tangle = Tangle(members=tuple(findings))
    return TangledChoice(Program(), setup.candidates, tangle, (), all_fixed=True, needless_later=True)


@pytest.mark.parametrize(
    ("fixes", "taken", "kept"),
    [
        (("A", "B", "AB"), "012", "01"),
        (("AB", "BC", "AC"), "012", "01"),
        (("A", "B"), "01", "01"),
        (("A", "AB", "BC", "C"), "0123", "02"),
    ],
)
def test_a_choice_is_mended_by_leaving_needless_remedies_out(fixes: tuple[str, ...], taken: str, kept: str) -> None:
    """One after the other, the last in text order first, until each that stays fixes something no other does."""
    choice = a_tangle(*fixes)
    items = tuple(item for item in choice.items if item.key[1:] in taken)
    mended = choice.mended(Cover(items=items, covered=frozenset(choice.possible)))
    assert "".join(item.key[1:] for item in mended.items) == kept
    assert needless_among(mended.items, mended.covered, frozenset()) == []
    assert frozenset().union(*(item.fixes for item in mended.items)) == frozenset(choice.possible)


def test_a_choice_that_limits_hang_on_holds_nothing_needless_from_the_start() -> None:
    """R0 fits at 12 as measured and not at 6 as new: what is left out later might be what it hangs on."""
    book = build.a_book(
        operations=[build.an_operation("WORK", 1)],
        findings=[build.a_finding("A", limit="10", as_new="6", fails_when="above"), build.a_finding("B")],
        remedies=[
            build.a_remedy("R0", ["B"], ["WORK"]),
            build.a_remedy("R1", ["A"], ["WORK"]),
            build.a_remedy("R2", ["A", "B"], ["WORK"]),
        ],
        fits_only_if=[build.fits_only_if("R0", "A", "9", "13")],
    )
    found = build.a_finding_on("A", measured=12, limit="10", as_new="6", fails_when="above")
    setup = set_up(book, build.a_job(found, build.a_finding_on("B")))
    tangle = Tangle(members=("A", "B"))
    choice = TangledChoice(Program(), setup.candidates, tangle, (), all_fixed=True, needless_later=True)
    every = Cover(items=tuple(choice.items), covered=frozenset("AB"))
    assert len(every.items) == 3
    assert choice.mended(every) is every
    assert choices_of(choice.program, choice) == {frozenset({"R2"})}


def test_a_need_of_its_own_calls_for_nothing() -> None:
    """R0 puts A right and needs A put right: it is no part of a choice for B, however long it lasts there.

    R1 fits B whether A is put right or not, so the two findings hang together.
    """
    book = build.a_book(
        operations=[build.an_operation("WORK", 1)],
        findings=[
            build.a_finding("A", "advised", limit="10", as_new="6", fails_when="above"),
            build.a_finding("B", "needed"),
        ],
        remedies=[
            build.a_remedy("R0", ["A"], ["WORK"], needs_fixed=["A"], life_years=4),
            build.a_remedy("R1", ["B"], ["WORK"], life_years=4),
        ],
        fits_only_if=[build.fits_only_if("R1", "A", None, "13")],
    )
    found = build.a_finding_on("A", severity="advised", measured=12, limit="10", as_new="6", fails_when="above")
    setup = set_up(book, build.a_job(found, build.a_finding_on("B", severity="needed")))
    of = Untangler(setup, frozenset({"B"}), frozenset(), ())
    settled = of.settle(Tangle(members=("B",)))
    together, cover = of.together(settled, of.shortest(settled))
    assert (together, cover.codes, cover.covered) == (Decimal(4), ("R1",), frozenset({"B"}))


def test_needs_that_call_for_each_other_only_are_no_choice() -> None:
    """R0 needs what R2 fixes and R2 what R0 fixes; nothing else does but R3, which does not last.

    R1 alone lasts 4 years. With R0 and R2 three findings would last 4 years each, yet R1 is a whole choice without.
    """
    book = build.a_book(
        operations=[build.an_operation("WORK", 1)],
        findings=[build.a_finding(code, "advised") for code in "AC"] + [build.a_finding("B", "needed")],
        remedies=[
            build.a_remedy("R0", ["A"], ["WORK"], needs_fixed=["C"], life_years=4),
            build.a_remedy("R1", ["B"], ["WORK"], life_years=4),
            build.a_remedy("R2", ["C"], ["WORK"], needs_fixed=["A"], life_years=4),
            build.a_remedy("R3", ["B"], ["WORK"], needs_fixed=["A"], life_years=1),
        ],
    )
    found = [build.a_finding_on(code, severity="needed" if code == "B" else "advised") for code in "ABC"]
    setup = set_up(book, build.a_job(*found))
    of = Untangler(setup, frozenset({"B"}), frozenset(), ())
    settled = of.settle(Tangle(members=("B",)))
    together, cover = of.together(settled, of.shortest(settled))
    assert (together, cover.codes, cover.covered) == (Decimal(4), ("R1",), frozenset({"B"}))
