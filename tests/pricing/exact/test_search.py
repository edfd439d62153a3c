"""The integer model finds what comparing all choices finds: value, remedies, covered findings and ties."""

from __future__ import annotations

from decimal import Decimal, localcontext
from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.quote import PricedTier
from quotekit.model.shop_book import ShopBook
from quotekit.money import EXACT
from quotekit.pricing import build_quote, choose
from quotekit.pricing.exact import search as search_module
from quotekit.pricing.setup import set_up
from quotekit.pricing.tiers import WorkedTier, work_out_tiers
from tests import build
from tests.random_jobs import a_random_case

Result = tuple[object, ...]


def worked(book: ShopBook, job: Job) -> list[Result]:
    """What each tier takes, covers and comes to, and the bound of its proof."""
    with localcontext(EXACT):
        found = work_out_tiers(set_up(book, job))
    return [
        (
            tier.tier.code,
            sorted(item.key for item in tier.remedies),
            sorted(tier.covered),
            tier.charges.total,
            tier.proof.bound,
            tier.proof.gap,
            tier.proof.settled,
        )
        if isinstance(tier, WorkedTier)
        else (tier.tier.code, tier.reason)
        for tier in found
    ]


@pytest.fixture(params=["listed", "stated"])
def by_model(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Every choice by the integer model: groups with their choices listed, or stated by their rules."""

    def choose_so() -> None:
        monkeypatch.setattr(choose, "MOST_COMPARED", 0)
        if request.param == "stated":
            monkeypatch.setattr(choose, "MOST_LOOKED_THROUGH", -1)

    return choose_so


@pytest.mark.parametrize("first", range(0, 60, 20))
def test_random_jobs_get_the_same_tiers(first: int, by_model: Any) -> None:
    cases = [a_random_case(seed) for seed in range(first, first + 20)]
    one_by_one = [worked(*case) for case in cases]
    by_model()
    differ = [first + i for i, case in enumerate(cases) if worked(*case) != one_by_one[i]]
    assert differ == []


def shop(remedies: list[Any], aim: str = "lowest price", **values: Any) -> ShopBook:
    """Findings A to C; operations of one, two and three tenths of an hour; one tier with an aim."""
    named: dict[str, Any] = {
        "operations": [build.an_operation(f"O{n}", f"0.{n}") for n in range(1, 7)],
        "findings": [build.a_finding(code) for code in "ABC"],
        "remedies": remedies,
        "tiers": [build.a_tier("good", aim=aim)],
    }
    return build.a_book(**(named | values))


def the_tier(book: ShopBook, **job: Any) -> PricedTier:
    quote = build_quote(book, build.a_job(*(build.a_finding_on(code) for code in "ABC"), **job))
    (tier,) = quote.tiers
    assert tier.proof is not None
    assert tier.proof.method == "integer model"
    assert (tier.proof.gap, tier.proof.settled) == (0, True)
    return tier


def keys(tier: PricedTier) -> list[str]:
    return [item.key for item in tier.items]


def remedy(code: str, fixes: str, operations: str, **values: Any) -> Any:
    return build.a_remedy(code, fixes.split(), operations.split(), **values)


def test_shared_work_is_counted_once(by_model: Any) -> None:
    """Alone, A1 is cheaper than A2; with B1 and C1, which need O6 anyway, A2 costs nothing."""
    by_model()
    book = shop([remedy("A1", "A", "O1"), remedy("A2", "A", "O6"), remedy("B1", "B", "O6"), remedy("C1", "C", "O6")])
    assert keys(the_tier(book)) == ["A2", "B1", "C1"]


def test_rounding_up_once_decides(by_model: Any) -> None:
    """0.25 + 0.15 + 0.1 is 0.5 exactly; the remedy with the fewer hours of its own (0.26 for B) would need 0.6."""
    by_model()
    operations = [build.an_operation(code, hours) for code, hours in [("X", "0.25"), ("Y", "0.15"), ("Z", "0.1")]]
    operations.append(build.an_operation("V", "0.16"))
    remedies = [remedy("A1", "A", "X"), remedy("B1", "B", "Y"), remedy("B2", "B", "V"), remedy("C1", "C", "Z")]
    tier = the_tier(shop(remedies, operations=operations))
    assert (keys(tier), tier.hours.billed) == (["A1", "B1", "C1"], {"MAIN": Decimal("0.5")})


def test_equal_money_is_decided_by_fewer_operations(by_model: Any) -> None:
    """0.1 + 0.2 and 0.3 cost the same."""
    by_model()
    book = shop([remedy("A1", "A", "O1 O2"), remedy("A2", "A", "O3"), remedy("BC", "B C", "O4")])
    assert keys(the_tier(book)) == ["A2", "BC"]


def test_equal_money_and_operations_are_decided_by_codes(by_model: Any) -> None:
    """Eight equal choices: the first code in text order wins for each finding."""
    by_model()
    book = shop([remedy(f"{code}{n}", code, f"O{n + 1}") for code in "ABC" for n in range(2)])
    remedies = [remedy(f"R-{code}{n}", code, "O1") for code in "ABC" for n in (2, 1)]
    assert keys(the_tier(book)) == ["A0", "B0", "C0"]
    assert keys(the_tier(shop(remedies))) == ["R-A1", "R-B1", "R-C1"]


def test_least_to_own_counts_repeats(by_model: Any) -> None:
    """O2 lasts a year and comes round four times in five years; O6 lasts ten."""
    by_model()
    short = [remedy(f"{code}-SHORT", code, "O2", life_years=1) for code in "ABC"]
    lasting = [remedy(f"{code}-LONG", code, "O6", life_years=10) for code in "ABC"]
    assert keys(the_tier(shop([*short, *lasting], "least to own"))) == ["A-LONG", "B-LONG", "C-LONG"]
    assert keys(the_tier(shop([*short, *lasting]))) == ["A-SHORT", "B-SHORT", "C-SHORT"]


def test_the_longest_life_is_taken_before_the_price(by_model: Any) -> None:
    """Within five years six and ten are alike: the cheaper of the two is taken."""
    by_model()
    remedies = [
        *(remedy(f"{code}-1", code, "O1", life_years=1) for code in "ABC"),
        *(remedy(f"{code}-6", code, "O4", life_years=6) for code in "ABC"),
        *(remedy(f"{code}-9", code, "O5", life_years=10) for code in "ABC"),
    ]
    assert keys(the_tier(shop(remedies, "longest life"))) == ["A-6", "B-6", "C-6"]


def test_a_blank_life_stops_an_aim_over_years(by_model: Any) -> None:
    by_model()
    remedies = [
        remedy("A1", "A", "O1", life_years=None),
        remedy("A2", "A", "O2", life_years=2),
        remedy("BC", "B C", "O3", life_years=2),
    ]
    quote = build_quote(shop(remedies, "longest life"), build.a_job(*(build.a_finding_on(code) for code in "ABC")))
    assert quote.tiers[0].reason is not None
    assert "no Life years" in quote.tiers[0].reason


@pytest.mark.parametrize(("a", "b", "taken"), [("needed", "advised", "A1"), ("advised", "needed", "B1")])
def test_what_cannot_be_fixed_together_leaves_the_least_severe(a: str, b: str, taken: str, by_model: Any) -> None:
    """A1 fits only while B is thick as measured, and B1 makes it thin."""
    by_model()
    thin = build.a_finding("B", fails_when="above", limit=10, as_new=5)
    measured = {"measured": 12, "limit": 10, "as_new": 5, "fails_when": "above"}
    book = shop(
        [remedy("A1", "A", "O1"), remedy("B1", "B", "O2"), remedy("C1", "C", "O3"), remedy("C2", "C", "O4")],
        findings=[build.a_finding("A"), build.a_finding("C"), thin],
        fits_only_if=[build.fits_only_if("A1", "B", "8")],
        tiers=[build.a_tier("good", covers=["safety", "needed", "advised"])],
    )
    first = build.a_finding_on("A", severity=a)
    second = build.a_finding_on("B", severity=b, judged=False, **measured)
    quote = build_quote(book, build.a_job(first, second, build.a_finding_on("C")))
    (tier,) = quote.tiers
    assert tier.proof is not None
    assert (tier.proof.method, keys(tier)) == ("integer model", sorted([taken, "C1"]))


def test_large_jobs_are_proven_within_the_time() -> None:
    """Forty findings with four remedies each that share covers: 4 to the power of 40 choices."""
    codes = [f"F{i:02}" for i in range(40)]
    steps = [build.a_step(f"COVER-{i}", "0.1", "0.1") for i in range(10)]
    operations = [
        build.an_operation(f"{code}-{n}", f"0.{1 + (i * 3 + n * 5) % 7}", access=[f"COVER-{(i + n * 3) % 10}"])
        for i, code in enumerate(codes)
        for n in range(4)
    ]
    remedies = [build.a_remedy(f"R-{code}-{n}", [code], [f"{code}-{n}"]) for code in codes for n in range(4)]
    book = build.a_book(
        operations=operations,
        access=steps,
        findings=[build.a_finding(code) for code in codes],
        remedies=remedies,
        tiers=[build.a_tier("good")],
    )
    (tier,) = build_quote(book, build.a_job(*(build.a_finding_on(code) for code in codes))).tiers
    assert tier.proof is not None
    assert (tier.proof.method, tier.proof.choices) == ("integer model", str(4**40))
    assert (tier.proof.gap, tier.proof.settled, tier.proof.bound) == (0, True, tier.work)
    assert tier.proof.priced < 50


def test_narrowing_leaves_out_nothing_that_is_as_good(monkeypatch: pytest.MonkeyPatch) -> None:
    """With and without leaving out what can't be as good, the same choice is found."""
    monkeypatch.setattr(choose, "MOST_COMPARED", 0)
    cases = [a_random_case(seed) for seed in range(500, 530)]
    monkeypatch.setattr(search_module, "WORTH_NARROWING", 10**9)
    wide = [worked(*case) for case in cases]
    monkeypatch.setattr(search_module, "WORTH_NARROWING", 0)
    monkeypatch.setattr(search_module, "LEFT_OPEN", (2, 4))
    assert [worked(*case) for case in cases] == wide
