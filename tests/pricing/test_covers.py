"""Sets of remedies that put the covered findings right (DESIGN.md 5.7 and 5.9): worked out by listing them."""

from __future__ import annotations

from typing import Any

import pytest

from quotekit.model.job import Job
from quotekit.model.shop_book import Remedy, ShopBook
from quotekit.pricing.covers import Group, groups_and_tangles
from tests import build
from tests.pricing.priced import items_named, price


def shop(*remedies: Remedy, **values: Any) -> ShopBook:
    """Operation FIT stands for any work; findings A to E."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("FIT"), build.an_operation("SIDED", each_side=True)],
        "findings": [build.a_finding(code) for code in "ABCDE"],
        "remedies": list(remedies),
    }
    return build.a_book(**(named | values))


def remedy(code: str, fixes: str, **values: Any) -> Remedy:
    return build.a_remedy(code, fixes.split(), ["FIT"], **values)


def groups(book: ShopBook, job: Job, covered: str, kept: str = "", given: str = "") -> list[Group]:
    setup = price(book, job=job).setup
    items = items_named(setup, given.split())
    found, tangles = groups_and_tangles(setup.candidates, covered.split(), frozenset(kept.split()), items, 1_000)
    assert tangles == []
    return found


def sets(book: ShopBook, job: Job, covered: str, **more: str) -> list[set[tuple[str, ...]]]:
    """The keys of every set, group by group."""
    return [{cover.codes for cover in group.covers} for group in groups(book, job, covered, **more)]


def faults(codes: str, **severities: Any) -> Job:
    """A job with these faults."""
    return build.a_job(*(build.a_finding_on(code, severity=severities.get(code, "needed")) for code in codes.split()))


def test_every_remedy_of_one_finding_is_a_choice() -> None:
    book = shop(remedy("ONE", "A"), remedy("TWO", "A"))
    assert sets(book, faults("A"), "A") == [{("ONE",), ("TWO",)}]


def test_findings_that_share_nothing_are_chosen_apart() -> None:
    """Two groups of two choices, four together."""
    book = shop(remedy("A1", "A"), remedy("A2", "A"), remedy("B1", "B"), remedy("B2", "B"))
    assert sets(book, faults("A B"), "A B") == [{("A1",), ("A2",)}, {("B1",), ("B2",)}]


def test_a_remedy_for_both_ties_them() -> None:
    """BOTH alone, or one of each; never BOTH with another, whose finding it fixes already."""
    book = shop(remedy("A1", "A"), remedy("B1", "B"), remedy("BOTH", "A B"))
    assert sets(book, faults("A B"), "A B") == [{("BOTH",), ("A1", "B1")}]


def test_a_chain_of_shared_remedies_is_one_group() -> None:
    """AB, BC and CD tie A to D: only AB fixes A and only CD fixes D, so BC is needless."""
    book = shop(remedy("AB", "A B"), remedy("BC", "B C"), remedy("CD", "C D"))
    assert sets(book, faults("A B C D"), "A B C D") == [{("AB", "CD")}]


def test_a_set_may_overlap_where_each_remedy_is_needed() -> None:
    """AB fixes A, BC fixes C; both fix B."""
    book = shop(remedy("AB", "A B"), remedy("BC", "B C"))
    assert sets(book, faults("A B C"), "A B C") == [{("AB", "BC")}]


def test_a_need_counts_as_covered_whatever_its_severity() -> None:
    book = shop(remedy("A1", "A", needs_fixed=["C"]), remedy("A2", "A"), remedy("C1", "C"), remedy("C2", "C"))
    assert sets(book, faults("A C", C="watch"), "A") == [{("A1", "C1"), ("A1", "C2"), ("A2",)}]


def test_a_need_ties_two_covered_findings() -> None:
    book = shop(remedy("A1", "A", needs_fixed=["C"]), remedy("A2", "A"), remedy("C1", "C"), remedy("C2", "C"))
    assert sets(book, faults("A C"), "A C") == [{("A1", "C1"), ("A1", "C2"), ("A2", "C1"), ("A2", "C2")}]


def test_two_that_need_each_other_are_taken_together() -> None:
    book = shop(remedy("A1", "A", needs_fixed=["C"]), remedy("C1", "C", needs_fixed=["A"]))
    assert sets(book, faults("A C", C="watch"), "A") == [{("A1", "C1")}]


def test_a_need_that_nothing_fixes_takes_the_remedy_out() -> None:
    book = shop(remedy("A1", "A", needs_fixed=["C"]), remedy("A2", "A"))
    assert sets(book, faults("A C", C="watch"), "A") == [{("A2",)}]


def test_a_remedy_may_put_right_what_it_needs_itself() -> None:
    book = shop(remedy("A1", "A C", needs_fixed=["C"]))
    assert sets(book, faults("A C", C="watch"), "A") == [{("A1",)}]


def test_a_remedy_does_not_make_itself_fit() -> None:
    """A1 fits only while B is below 5, and would fix B itself: only another item counts, and none is there."""
    high = build.a_finding("B", "watch", fails_when="above", limit="10", as_new="4")
    book = shop(
        remedy("A1", "A B"),
        remedy("A2", "A"),
        findings=[build.a_finding("A"), high],
        fits_only_if=[build.fits_only_if("A1", "B", None, "5")],
    )
    job = build.a_job(build.a_finding_on("A"), build.found(book, "B", measured="12"))
    assert sets(book, job, "A") == [{("A2",)}]


def test_a_limit_on_another_fault_does_not_stop_what_it_needs_itself() -> None:
    """A1 fixes the C it needs, and fits only with B below 5, which B1 puts right."""
    high = build.a_finding("B", "watch", fails_when="above", limit="10", as_new="4")
    book = shop(
        remedy("A1", "A C", needs_fixed=["C"]),
        remedy("B1", "B"),
        findings=[build.a_finding("A"), high, build.a_finding("C")],
        fits_only_if=[build.fits_only_if("A1", "B", None, "5")],
    )
    found = [build.a_finding_on("A"), build.a_finding_on("C", severity="watch"), build.found(book, "B", measured="12")]
    assert sets(book, build.a_job(*found), "A") == [{("A1", "B1")}]


def test_no_remedy_leaves_the_finding() -> None:
    assert sets(shop(), faults("A"), "A") == [{()}]


def test_sides_are_apart() -> None:
    """Each side of a sided remedy is its own choice."""
    book = shop(
        build.a_remedy("ONE", ["A"], ["SIDED"]),
        build.a_remedy("TWO", ["A"], ["SIDED"]),
    )
    job = build.a_job(build.a_finding_on("A", "left"), build.a_finding_on("A", "right"))
    assert sets(book, job, "A@left A@right") == [{("ONE@left",), ("TWO@left",)}, {("ONE@right",), ("TWO@right",)}]


def test_a_remedy_without_a_side_ties_the_sides() -> None:
    book = shop(build.a_remedy("ONE", ["A"], ["SIDED"]), remedy("WHOLE", "A"))
    job = build.a_job(build.a_finding_on("A", "left"), build.a_finding_on("A", "right"))
    assert sets(book, job, "A@left A@right") == [{("WHOLE",), ("ONE@left", "ONE@right")}]


def test_what_a_one_off_line_fixes_needs_no_remedy() -> None:
    book = shop(remedy("A1", "A"), remedy("B1", "B"))
    found = [build.a_finding_on(code) for code in "AB"]
    job = build.a_job(*found, one_off=[build.a_one_off(fixes=["A"])])
    assert sets(book, job, "A B", given="ONEOFF-1") == [{("B1",)}]


def test_no_remedy_whose_findings_a_one_off_line_fixes_too() -> None:
    """BOTH would fix A and B; A is fixed already, so BOTH fixes B, and so does B1."""
    book = shop(remedy("BOTH", "A B"), remedy("B1", "B"))
    job = build.a_job(*(build.a_finding_on(code) for code in "AB"), one_off=[build.a_one_off(fixes=["A"])])
    assert sets(book, job, "A B", given="ONEOFF-1") == [{("B1",), ("BOTH",)}]


def against(**severities: Any) -> tuple[ShopBook, Job]:
    """A1 fits only while B is thick as measured; the only remedy of B makes it thin: A and B cannot both be fixed."""
    thin = build.a_finding("B", fails_when="above", limit="10", as_new="5")
    book = shop(
        remedy("A1", "A"),
        remedy("B1", "B"),
        findings=[build.a_finding("A"), thin],
        fits_only_if=[build.fits_only_if("A1", "B", "8")],
    )
    measured = build.found(book, "B", measured="12")
    first = build.a_finding_on("A", severity=severities.get("A", "needed"))
    second = build.a_finding_on(
        "B", severity=severities.get("B", "needed"), measured=measured.measured, as_new=5, judged=False
    )
    return book, build.a_job(first, second)


@pytest.mark.parametrize(
    ("a", "b", "chosen"),
    [
        ("safety", "needed", {("A1",)}),
        ("needed", "safety", {("B1",)}),
        ("needed", "advised", {("A1",)}),
        ("needed", "needed", {("A1",), ("B1",)}),
    ],
)
def test_as_few_as_possible_are_left_the_least_severe_first(a: str, b: str, chosen: set[tuple[str, ...]]) -> None:
    book, job = against(A=a, B=b)
    assert sets(book, job, "A B") == [chosen]


def test_what_the_tier_before_fixes_is_never_among_those_left() -> None:
    """B is graver, but the tier before fixed A."""
    book, job = against(A="advised", B="needed")
    assert sets(book, job, "A B", kept="A") == [{("A1",)}]


def test_a_helper_that_is_only_a_helper_is_left_out_where_it_can_be() -> None:
    """A1 needs C. C1 fixes C; CD fixes C and D, but D is not covered: both are choices, never both together."""
    book = shop(remedy("A1", "A", needs_fixed=["C"]), remedy("C1", "C"), remedy("CD", "C D"))
    assert sets(book, faults("A C D", C="watch", D="watch"), "A") == [{("A1", "C1"), ("A1", "CD")}]


@pytest.mark.parametrize(("most", "listed"), [(11, True), (10, False)])
def test_a_group_with_too_many_sets_to_look_at_is_a_tangle(most: int, listed: bool) -> None:
    """Ten remedies for one finding: eleven sets are looked at, the empty one with them."""
    book = shop(*(remedy(f"R{i}", "A") for i in range(10)))
    candidates = price(book, job=faults("A")).setup.candidates
    found, tangles = groups_and_tangles(candidates, ["A"], frozenset(), [], most)
    assert [len(group.covers) for group in found] == ([10] if listed else [])
    assert [tangle.members for tangle in tangles] == ([] if listed else [("A",)])


def test_what_can_only_be_a_tangle_is_not_looked_through() -> None:
    """Thirty findings in a chain with three remedies each: looking through them would not end."""
    codes = [f"F{i:02}" for i in range(30)]
    remedies = [
        build.a_remedy(f"{code}-{way}", [code, codes[i - way]], ["FIT"])
        for i, code in enumerate(codes)
        for way in (1, 2, 3)
    ]
    book = shop(*remedies, findings=[build.a_finding(code) for code in codes])
    candidates = price(book, job=faults(" ".join(codes))).setup.candidates
    found, tangles = groups_and_tangles(candidates, codes, frozenset(), [], 5_000)
    assert (found, len(tangles)) == ([], 1)
    assert sorted(tangles[0].members) == codes


def test_nothing_covered_is_no_group() -> None:
    assert groups(shop(remedy("A1", "A")), faults("A"), "") == []
