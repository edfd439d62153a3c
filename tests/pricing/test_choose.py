"""Choosing a tier's remedies: the true optimum, how many were compared, and when it is refused (DESIGN.md 5.7)."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from quotekit.model.shop_book import ShopBook
from quotekit.pricing import build_quote, choose, covers, notes
from quotekit.pricing.choose import LifeNotStated
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


def too_many(book: ShopBook, codes: str) -> None:
    """The quote is refused with one problem, no tier, and a pointer to the Plan sheet."""
    quote = build_quote(book, build.a_job(*found(codes), file="job.xlsx"))
    assert quote.tiers == ()
    assert quote.offered == ()
    (problem,) = quote.problems
    assert (problem.code, problem.severity, str(problem.place)) == ("too-many-choices", "error", "job.xlsx:Plan")
    assert problem.remedy == "Say on the Plan sheet what each tier takes."


def a_tangle(findings: str, each: int) -> ShopBook:
    """Every remedy does work of its own besides work that another group shares: none beats another."""
    shared = [build.an_operation(f"S{i}", "0.1", slowed_by_rust=i % 2 == 0) for i in range(each)]
    remedies = [build.a_remedy(f"R-{f}{i}", [f], [f"{f}{i}", f"S{i}"]) for f in findings for i in range(each)]
    plain = shop(findings, each)
    return shop(findings, each, operations=[*plain.operations.values(), *shared], remedies=remedies)


def test_more_than_the_limit_in_all_groups_together(monkeypatch: pytest.MonkeyPatch) -> None:
    """A limit of 500: three to the sixth is 729, and none of them can be left out."""
    monkeypatch.setattr(choose, "MOST_CHOICES", 500)
    too_many(a_tangle("ABCDEF", 3), "ABCDEF")


def test_up_to_the_limit_is_compared(monkeypatch: pytest.MonkeyPatch) -> None:
    """243 choices and a limit of 243."""
    monkeypatch.setattr(choose, "MOST_CHOICES", 243)
    tier = first_tier(a_tangle("ABCDE", 3), *found("ABCDE"))
    assert tier.compared == 243
    assert keys_of(tier) == ["R-A0", "R-B0", "R-C0", "R-D0", "R-E0"]


def test_more_than_the_limit_in_one_group(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(covers, "MOST_CHOICES", 10)
    remedies = [*shop("AB", 6).remedies.values(), build.a_remedy("BOTH", ["A", "B"], ["A0"])]
    too_many(shop("AB", 6, remedies=remedies), "AB")


def test_a_real_job_that_is_too_large_is_refused() -> None:
    """Twelve findings with three remedies that share work: 531,441 choices, none of which can be left out."""
    too_many(a_tangle(MANY[:12], 3), MANY[:12])


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


def test_the_refusal_names_the_limit() -> None:
    assert notes.too_many_choices(build.a_job()).message == "more than 200,000 ways to choose the remedies remain"
    assert covers.MOST_CHOICES == 200_000
