"""Choosing a tier's remedies: the true optimum, how many were compared, and when it is refused (DESIGN.md 5.7)."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, choose
from quotekit.pricing.choose import LifeNotStated
from quotekit.pricing.exact import search, selection, untangle
from tests import build
from tests.pricing.priced import first_tier, keys_of, price

MANY = "ABCDEFGHIJKLMNOPQRST"


def shop(findings: str, each: int, **values: Any) -> ShopBook:
    """So many findings, each with so many remedies; the n-th remedy of a finding takes n tenths of an hour."""
    named: dict[str, Any] = {
        "operations": [build.an_operation(f"{f}{i}", f"0.{i + 1}") for f in findings for i in range(each)],
        "findings": [build.a_finding(code) for code in findings],
        "remedies": [build.a_remedy(f"R-{f}{i}", [f], [f"{f}{i}"]) for f in findings for i in range(each)],
        "tiers": [build.a_tier("good")],
    }
    return build.a_book(**(named | values))


def found(codes: str) -> list[Any]:
    return [build.a_finding_on(code) for code in codes]


@pytest.mark.parametrize(("findings", "each", "compared"), [("A", 1, 1), ("A", 3, 3), ("AB", 3, 9), ("ABCD", 3, 81)])
def test_it_says_how_many_choices_were_compared(findings: str, each: int, compared: int) -> None:
    tier = first_tier(shop(findings, each), *found(findings))
    assert tier.compared == compared
    assert keys_of(tier) == [f"R-{code}0" for code in findings]


def test_those_left_out_because_they_cannot_win_are_counted() -> None:
    """Three to the sixth is 729, more than are worth comparing."""
    assert first_tier(shop("ABCDEF", 3), *found("ABCDEF")).compared == 729


def test_a_plan_compares_nothing() -> None:
    tier = first_tier(shop("A", 3), *found("A"), plan=[build.a_plan_item("good", "R-A2")])
    assert (tier.compared, keys_of(tier)) == (1, ["R-A2"])


def test_the_optimum_of_the_whole_is_not_the_sum_of_the_best_for_each() -> None:
    """Rounding up once: 0.25 and 0.25 are 0.5; 0.21 and 0.25 are 0.46, billed 0.5: equal. Checked against all nine."""
    hours = {"A": ["0.21", "0.25", "0.4"], "B": ["0.25", "0.31", "0.1"]}
    operations = [build.an_operation(f"{f}{i}", hours[f][i]) for f in "AB" for i in range(3)]
    book = shop("AB", 3, operations=operations)
    tier = first_tier(book, *found("AB"))
    all_work = {
        (a, b): price(book, f"R-A{a}", f"R-B{b}", job=build.a_job(*found("AB"))).charges.total
        for a, b in product(range(3), repeat=2)
    }
    best = min(all_work, key=lambda pair: (all_work[pair], pair))
    assert keys_of(tier) == [f"R-A{best[0]}", f"R-B{best[1]}"] == ["R-A0", "R-B2"]
    assert tier.work == all_work[best] == 40


def test_a_blank_life_stops_an_aim_over_years() -> None:
    book = shop(
        "A", 2, remedies=[build.a_remedy("R-A0", ["A"], ["A0"], life_years=None), build.a_remedy("R-A1", ["A"], ["A1"])]
    )
    job = build.a_job(*found("A"))
    setup = price(book, job=job).setup
    tier = build.a_tier("best", aim="longest life")
    with pytest.raises(LifeNotStated) as blank:
        choose.choose(setup, tier, frozenset("A"), frozenset())
    assert blank.value.item.key == "R-A0"


def a_tangle(findings: str, each: int) -> ShopBook:
    """Every remedy does work of its own besides work that another group shares: none beats another."""
    shared = [build.an_operation(f"S{i}", "0.1", slowed_by_rust=i % 2 == 0) for i in range(each)]
    remedies = [build.a_remedy(f"R-{f}{i}", [f], [f"{f}{i}", f"S{i}"]) for f in findings for i in range(each)]
    plain = shop(findings, each)
    return shop(findings, each, operations=[*plain.operations.values(), *shared], remedies=remedies)


def test_few_choices_are_compared_one_by_one() -> None:
    """243 choices, none of which can be left out: all are priced."""
    tier = first_tier(a_tangle("ABCDE", 3), *found("ABCDE"))
    assert tier.compared == 243
    assert keys_of(tier) == ["R-A0", "R-B0", "R-C0", "R-D0", "R-E0"]
    assert tier.proof is not None
    assert (tier.proof.method, tier.proof.choices, tier.proof.priced) == ("enumeration", "243", 243)
    assert (tier.proof.bound, tier.proof.gap, tier.proof.settled) == (tier.work, 0, True)


def test_more_choices_than_are_compared_go_to_the_integer_model() -> None:
    """Twelve findings with three remedies that share work: 531,441 choices, few of which are priced."""
    tier = first_tier(a_tangle(MANY[:12], 3), *found(MANY[:12]))
    assert tier.compared == 531_441
    assert keys_of(tier) == [f"R-{code}0" for code in sorted(MANY[:12])]
    assert tier.proof is not None
    assert (tier.proof.method, tier.proof.choices, tier.proof.bound) == ("integer model", "531441", tier.work)
    assert tier.proof.priced < 100
    assert (tier.proof.gap, tier.proof.settled) == (0, True)


def test_both_ways_find_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    book, rows = a_tangle("ABCDE", 3), found("ABCDE")
    one_by_one = first_tier(book, *rows)
    monkeypatch.setattr(choose, "MOST_COMPARED", 0)
    by_model = first_tier(book, *rows)
    assert by_model.proof is not None
    assert by_model.proof.method == "integer model"
    assert replace(by_model, proof=one_by_one.proof) == one_by_one


def test_a_group_with_too_many_choices_to_list_them_is_stated_by_its_rules(monkeypatch: pytest.MonkeyPatch) -> None:
    """BOTH fixes A and B, so both are one group; its choices are not counted."""
    remedies = [*shop("AB", 6).remedies.values(), build.a_remedy("BOTH", ["A", "B"], ["A0"])]
    book = shop("AB", 6, remedies=remedies)
    listed = first_tier(book, *found("AB"))
    monkeypatch.setattr(choose, "MOST_LOOKED_THROUGH", 3)
    stated = first_tier(book, *found("AB"))
    assert keys_of(stated) == keys_of(listed)
    assert stated.proof is not None
    assert (stated.proof.method, stated.proof.choices, stated.compared) == (
        "integer model",
        "not counted",
        stated.proof.priced,
    )


def test_without_time_the_best_found_is_taken_and_said_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """No second to solve in: the first choice stands, with a gap and a warning, and the quote is written."""
    monkeypatch.setattr(search, "MOST_SECONDS", 0)
    monkeypatch.setattr(choose, "MOST_COMPARED", 0)
    quote = build_quote(a_tangle("ABC", 3), build.a_job(*found("ABC"), file="job.xlsx"))
    (tier, *_) = quote.tiers
    assert tier.proof is not None
    assert tier.proof.gap == tier.work - tier.proof.bound > 0
    assert not tier.proof.settled
    warnings = [problem for problem in quote.problems if problem.code == "choice-not-proven"]
    assert warnings[0].severity == "warning"
    assert f"may be up to {tier.proof.gap} better" in warnings[0].message
    assert str(warnings[0].place) == "job.xlsx:Plan"


def test_where_nothing_is_found_in_time_the_plan_sheet_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where limits stand in the way: without any, a first choice is found without solving."""
    monkeypatch.setattr(selection.TangledChoice, "without_needless", lambda choice: None)
    monkeypatch.setattr(untangle, "MOST_SECONDS", 0)
    monkeypatch.setattr(choose, "MOST_LOOKED_THROUGH", -1)
    quote = build_quote(a_tangle("ABC", 3), build.a_job(*found("ABC"), file="job.xlsx"))
    (problem,) = quote.problems
    assert quote.tiers == ()
    assert (problem.code, problem.severity, str(problem.place)) == ("too-many-choices", "error", "job.xlsx:Plan")
    assert problem.remedy == "Say on the Plan sheet what each tier takes."


def test_a_plan_is_its_own_proof() -> None:
    plan = [build.a_plan_item("good", f"R-{code}1") for code in "AB"]
    quote = build_quote(shop("AB", 2), build.a_job(*found("AB"), plan=plan))
    proof = quote.tiers[0].proof
    assert proof is not None
    assert (proof.method, proof.choices, proof.priced, proof.bound) == ("plan", "1", 1, quote.tiers[0].work)


def test_a_large_job_without_shared_work_is_chosen() -> None:
    """Three to the twentieth, 3,486,784,401: all but one choice of each finding are left out."""
    tier = first_tier(shop(MANY, 3), *found(MANY))
    assert tier.compared == 3486784401
    assert keys_of(tier) == [f"R-{code}0" for code in sorted(MANY)]


def test_a_plan_lets_a_job_through_that_is_too_large() -> None:
    """What the problem says to do helps."""
    codes = MANY[:12]
    plan = [build.a_plan_item("good", f"R-{code}1") for code in codes]
    quote = build_quote(a_tangle(codes, 3), build.a_job(*found(codes), plan=plan))
    assert quote.tiers[0].fixed == tuple(sorted(codes))
