"""How sure a choice is, as trees: choices of each group, those priced, the least of them, by hand (rules 5.7).

A group is one fault with its remedies: W1 for 50.00, W2 for 100.00 and a third W3 for 150.00, as many as a case asks
for. Two groups of two and three make six choices.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from quotekit.model.explanation import Explanation
from quotekit.model.quote import PricedTier
from quotekit.pricing import build_quote
from quotekit.pricing.explain import explain_priced
from quotekit.pricing.explain.proof import MOST_SHOWN
from tests import build
from tests.pricing.explain.recompute import faults
from tests.pricing.explain.small import said, typed
from tests.solver.doors import the_engine_with

LIVES = {1: 2, 2: 9, 3: 9}


def shown(*remedies: int, aim: str = "lowest price", way: str = "", **job: Any) -> dict[str, Explanation]:
    """`compared` and `proof.*` of a tier with so many remedies for each fault; each follows from its inputs."""
    faults_found = [chr(ord("A") + place) for place in range(len(remedies))]
    book = build.a_book(
        operations=[build.an_operation(f"FIX-{one}{n}", f"{n * 0.5}") for one in faults_found for n in (1, 2, 3)],
        findings=[build.a_finding(one) for one in faults_found],
        remedies=[
            build.a_remedy(f"{one}{n}", [one], [f"FIX-{one}{n}"], life_years=LIVES[n])
            for one, count in zip(faults_found, remedies, strict=True)
            for n in range(1, count + 1)
        ],
        tiers=[build.a_tier("good", aim=aim)],
    )
    with the_engine_with(way):
        quote = build_quote(typed(book), typed(build.a_job(*map(build.a_finding_on, faults_found), **job)))
    return made_of(explain_priced(quote, quote.tiers[0]))


def made_of(trees: tuple[Explanation, ...]) -> dict[str, Explanation]:
    known = {tree.figure: tree for tree in trees if tree.figure == "compared" or tree.figure.startswith("proof")}
    assert faults(trees) == []
    return known


@pytest.mark.parametrize(
    ("remedies", "choices", "line"),
    [
        ((1,), "1", "1 = product(choices, group 1 1)"),
        ((3,), "3", "3 = product(choices, group 1 3)"),
        ((2, 3), "6", "6 = product(choices, group 1 2, choices, group 2 3)"),
    ],
)
def test_choices_are_multiplied_over_the_groups(remedies: tuple[int, ...], choices: str, line: str) -> None:
    known = shown(*remedies)
    assert (known["proof.choices"].value, said(known["proof.choices"])) == (choices, line)
    assert said(known["compared"]) == f"{choices} = same(proof.choices {choices})"


def test_each_group_names_its_choices_and_its_faults() -> None:
    first, second = shown(2, 3)["proof.choices"].inputs
    assert {one.value for one in first.inputs} == {("A1",), ("A2",)}
    assert {one.value for one in second.inputs} == {("B1",), ("B2",), ("B3",)}
    assert [one.figure for one in first.inputs] == ["choice 1 of group 1", "choice 2 of group 1"]
    assert (first.rule, second.rule) == ("For A (rules 5.7).", "For B (rules 5.7).")


def test_all_that_were_priced_stand_behind_the_bound() -> None:
    """Six choices: 100.00 up to 250.00; the least is the one taken, and the gap is nothing."""
    known = shown(2, 3)
    bound = known["proof.bound"]
    assert (bound.value, bound.operation) == ("100.00", "least")
    assert sorted(str(one.value) for one in bound.inputs) == [
        "100.00",
        "150.00",
        "150.00",
        "200.00",
        "200.00",
        "250.00",
    ]
    assert said(known["proof.gap"]) == "0.00 = difference(work 100.00, proof.bound 100.00)"
    assert said(known["proof.priced"]).startswith("6 = product(left of the choices, group 1 2, ")


def test_more_than_can_be_shown_are_told_by_the_one_taken() -> None:
    """Nine choices are one more than are laid open."""
    assert MOST_SHOWN == 8
    known = shown(3, 3)
    assert said(known["proof.bound"]) == "100.00 = same(work 100.00)"
    assert known["proof.bound"].rule == "Of 9 choices priced none is below the one taken (rules 5.7)."


@pytest.mark.parametrize(
    ("aim", "figure", "bound", "all_of_them"),
    [
        ("lowest price", "work", "50.00", ["50.00", "100.00"]),
        ("least to own", "horizon_cost", "100.00", ["100.00", "150.00"]),
        ("longest life", "work", "100.00", ["100.00"]),
    ],
)
def test_the_bound_is_by_the_aim(aim: str, figure: str, bound: str, all_of_them: list[str]) -> None:
    """Over five years A1, which lasts two, is 150.00; by life only what lasts as long as the one taken is compared."""
    node = shown(2, aim=aim)["proof.bound"]
    assert (node.value, sorted((str(one.value) for one in node.inputs), key=float)) == (bound, all_of_them)
    assert {one.figure.partition(" (")[0] for one in node.inputs} == {figure}
    assert ("last as long" in node.rule) == (aim == "longest life")


@pytest.mark.parametrize("aim", ["lowest price", "least to own", "longest life"])
def test_a_plan_is_one_choice(aim: str) -> None:
    """Planned is the dear one: its own work is the bound, whatever the aim."""
    known = shown(2, aim=aim, plan=(build.a_plan_item("good", "A2"),))
    assert (known["proof.method"].value, said(known["proof.choices"])) == ("plan", "1 = same(one choice 1)")
    assert said(known["proof.bound"]) == "100.00 = least(work 100.00)"
    assert said(known["proof.gap"]) == "0.00 = difference(work 100.00, proof.bound 100.00)"
    assert (known["proof.priced"].value, known["proof.priced"].operation) == (1, "given")
    assert "A plan is priced as it is" in known["proof.priced"].rule


def test_the_integer_program_gives_its_own_bound() -> None:
    """Made to go that way, choices are counted as before, and what was priced is what the program asked for."""
    known = shown(2, 3, way="listed")
    assert known["proof.method"].value == "integer model"
    assert "an integer program bounds them all" in known["proof.method"].rule
    assert said(known["proof.bound"]) == "100.00 = given()"
    assert said(known["proof.gap"]) == "0.00 = difference(work 100.00, proof.bound 100.00)"
    assert "until none can be better" in known["proof.priced"].rule and known["proof.priced"].operation == "given"
    assert known["proof.choices"].value == "6"


def test_where_choices_are_not_counted_it_is_said() -> None:
    """A tangle: `compared` is what was priced."""
    known = shown(2, 3, way="tangled")
    choices, compared = known["proof.choices"], known["compared"]
    assert (choices.value, choices.number, choices.rule) == ("not counted", None, "Too many to count (rules 5.7).")
    assert compared.value == known["proof.priced"].value and compared.operation == "given"
    assert "not counted" in compared.rule


def test_ties_were_told_apart() -> None:
    node = shown(2)["proof.settled"]
    assert node.value is True and "told apart: fewer operations, then the earlier codes" in node.rule


def changed(**values: Any) -> dict[str, Explanation]:
    """The figures of the small tier with another proof; `proof=None` for none at all."""
    book = build.a_book(
        operations=[build.an_operation("FIX")],
        findings=[build.a_finding("A")],
        remedies=[build.a_remedy("A1", ["A"], ["FIX"])],
        tiers=[build.a_tier("good")],
    )
    quote = build_quote(book, build.a_job(build.a_finding_on("A")))
    (tier,) = quote.tiers
    assert tier.proof is not None
    proof = None if "proof" in values else replace(tier.proof, **values)
    return {tree.figure: tree for tree in explain_priced(quote, replace(tier, proof=proof))}


def test_where_time_ran_out_it_is_said() -> None:
    node = changed(settled=False)["proof.settled"]
    assert node.value is False and "Time ran out before all choices at the same price were told apart" in node.rule


def test_without_a_proof_there_is_only_how_many_were_compared() -> None:
    """As in a quote from before proofs were kept."""
    known = changed(proof=None)
    assert (known["compared"].value, known["proof"].value) == (1, None)
    assert "proof.bound" not in known


def test_nothing_found_is_one_choice() -> None:
    """A tier that no fault is found for has nothing to choose."""
    book = build.a_book(
        operations=[build.an_operation("WIPE")],
        findings=[build.a_finding("A")],
        extras=[build.an_extra("CLEAN", ["WIPE"])],
        tiers=[build.a_tier("good")],
    )
    job = build.a_job(extras=(build.a_job_extra("CLEAN", asked=True),))
    quote = build_quote(book, job)
    (tier,) = quote.tiers
    assert isinstance(tier, PricedTier)
    known = made_of(explain_priced(quote, tier))
    assert said(known["proof.choices"]) == "1 = product(one choice 1)"
    assert said(known["proof.priced"]) == "1 = product(one choice 1)"
