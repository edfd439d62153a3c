"""Sets of remedies that put the covered findings right: the choices a tier compares (DESIGN.md 5.7 and 5.9)."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from quotekit.model.job import FoundFinding, Job
from quotekit.model.shop_book import Remedy, ShopBook
from quotekit.pricing import covers
from quotekit.pricing.setup import set_up
from tests import build


def a_book_of(*remedies: Remedy) -> ShopBook:
    """Remedies A to Z that share one operation; findings are those they name."""
    fixed = dict.fromkeys(code for remedy in remedies for code in (*remedy.fixes, *remedy.needs_fixed))
    return build.a_book(
        operations=[build.an_operation("WORK")],
        findings=[build.a_finding(code) for code in fixed],
        remedies=list(remedies),
        tiers=[build.a_tier("good")],
    )


def fixing(code: str, *findings: str, needs: Iterable[str] = ()) -> Remedy:
    """A remedy of one operation."""
    return build.a_remedy(code, list(findings), ["WORK"], needs_fixed=list(needs))


def found(*codes: str, **severities: str) -> Job:
    """Findings of severity needed, or as told."""
    needed = [build.a_finding_on(code) for code in codes]
    others = [build.a_finding_on(code, severity=severity) for code, severity in severities.items()]
    return build.a_job(*needed, *others)


def choices(book: ShopBook, job: Job, covered: Iterable[str], kept: Iterable[str] = ()) -> list[list[str]]:
    """Each group's sets, as text like `A+B`, in order; groups in order too."""
    setup = set_up(book, job)
    lines = [item for item in setup.in_every("good") if item.one_off]
    groups = covers.groups_of(setup.candidates, covered, frozenset(kept), lines)
    return sorted(sorted("+".join(cover.codes) for cover in group.covers) for group in groups)


def test_findings_that_share_no_remedy_are_groups_of_their_own() -> None:
    """Two ways for ONE and two for TWO stay 2 and 2: they are multiplied only when they are compared."""
    book = a_book_of(fixing("A", "ONE"), fixing("B", "ONE"), fixing("C", "TWO"), fixing("D", "TWO"))
    assert choices(book, found("ONE", "TWO"), ["ONE", "TWO"]) == [["A", "B"], ["C", "D"]]


def test_findings_tied_by_a_remedy_are_one_group() -> None:
    """C fixes both."""
    book = a_book_of(fixing("A", "ONE"), fixing("B", "TWO"), fixing("C", "ONE", "TWO"))
    assert choices(book, found("ONE", "TWO"), ["ONE", "TWO"]) == [["A+B", "C"]]


def test_findings_tied_by_a_need_are_one_group() -> None:
    """A needs TWO fixed, so what is taken for TWO is chosen with it."""
    book = a_book_of(fixing("A", "ONE", needs=["TWO"]), fixing("B", "TWO"), fixing("C", "TWO"))
    assert choices(book, found("ONE", "TWO"), ["ONE", "TWO"]) == [["A+B", "A+C"]]


def test_a_set_holds_no_remedy_whose_findings_the_others_all_fix() -> None:
    """B+C leaves nothing for A to fix, and C alone does for both."""
    book = a_book_of(fixing("A", "ONE"), fixing("B", "ONE", "TWO"), fixing("C", "TWO"))
    assert choices(book, found("ONE", "TWO"), ["ONE", "TWO"]) == [["A+C", "B"]]


def test_only_covered_findings_count_for_that() -> None:
    """TWO is not covered: B may be taken for ONE, and A+B may not, though B alone fixes TWO."""
    book = a_book_of(fixing("A", "ONE"), fixing("B", "ONE", "TWO"))
    assert choices(book, found("ONE", TWO="advised"), ["ONE"]) == [["A", "B"]]


def test_what_a_remedy_needs_fixed_counts_as_covered_whatever_its_severity() -> None:
    """A for ONE brings B for TWO, which is only advised; C needs nothing."""
    book = a_book_of(fixing("A", "ONE", needs=["TWO"]), fixing("B", "TWO"), fixing("C", "ONE"))
    assert choices(book, found("ONE", TWO="advised"), ["ONE"]) == [["A+B", "C"]]


def test_a_remedy_may_fix_what_it_needs_fixed() -> None:
    """Needs fixed asks that it is put right, by whatever."""
    book = a_book_of(fixing("A", "ONE", "TWO", needs=["TWO"]))
    assert choices(book, found("ONE", TWO="advised"), ["ONE"]) == [["A"]]


def test_a_need_that_is_no_fault_of_this_machine_asks_nothing() -> None:
    """TWO was not found."""
    book = a_book_of(fixing("A", "ONE", needs=["TWO"]), fixing("B", "TWO"))
    assert choices(book, found("ONE"), ["ONE"]) == [["A"]]


def test_a_remedy_whose_need_nothing_can_fix_is_out() -> None:
    """TWO has no remedy: A may never be fitted."""
    book = a_book_of(fixing("A", "ONE", needs=["TWO"]), fixing("B", "ONE"))
    assert choices(book, found("ONE", "TWO"), ["ONE"]) == [["B"]]


def test_a_finding_without_remedy_is_left() -> None:
    """The group has one choice that takes nothing."""
    book = a_book_of(fixing("A", "ONE"))
    assert choices(book, found("ONE", "TWO"), ["ONE", "TWO"]) == [[""], ["A"]]


def test_a_one_off_line_that_fixes_a_finding_leaves_nothing_to_choose() -> None:
    """ONE is put right by hand."""
    book = a_book_of(fixing("A", "ONE"), fixing("B", "TWO"))
    job = build.a_job(build.a_finding_on("ONE"), build.a_finding_on("TWO"), one_off=[build.a_one_off(1, fixes=["ONE"])])
    assert choices(book, job, ["ONE", "TWO"]) == [["B"]]


def a_book_that_cannot_fix_both() -> ShopBook:
    """A for ONE fits only while GAP is as worn as it is; B closes the gap, as new 1, which A does not fit."""
    return build.a_book(
        operations=[build.an_operation("WORK")],
        findings=[build.a_finding("ONE"), build.a_finding("GAP")],
        remedies=[fixing("A", "ONE"), fixing("B", "GAP")],
        fits_only_if=[build.fits_only_if("A", "GAP", "2")],
        tiers=[build.a_tier("good")],
    )


def a_gap(severity: str) -> FoundFinding:
    """The gap, measured 3 where new is 1."""
    return build.a_finding_on("GAP", severity=severity, measured="3", as_new="1")


@pytest.mark.parametrize(
    ("one", "gap", "kept", "taken"),
    [
        ("needed", "advised", [], "A"),
        ("needed", "safety", [], "B"),
        ("advised", "needed", [], "B"),
        ("needed", "advised", ["GAP"], "B"),
        ("advised", "needed", ["ONE"], "A"),
    ],
)
def test_where_not_all_can_be_fixed_the_least_severe_is_left(one: str, gap: str, kept: list[str], taken: str) -> None:
    """As few as possible, but never one that the tier before fixes."""
    job = build.a_job(build.a_finding_on("ONE", severity=one), a_gap(gap))
    assert choices(a_book_that_cannot_fix_both(), job, ["ONE", "GAP"], kept) == [[taken]]


def test_both_may_be_left_out_where_they_are_equally_severe() -> None:
    """Either can be left: both choices are compared."""
    job = build.a_job(build.a_finding_on("ONE"), a_gap("needed"))
    assert choices(a_book_that_cannot_fix_both(), job, ["ONE", "GAP"]) == [["A", "B"]]


def test_too_many_sets_are_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is guessed: the search stops and says so."""
    monkeypatch.setattr(covers, "MOST_CHOICES", 3)
    book = a_book_of(fixing("A", "ONE"), fixing("B", "ONE"), fixing("C", "ONE", "TWO"), fixing("D", "TWO"))
    with pytest.raises(covers.TooManyChoices):
        choices(book, found("ONE", "TWO"), ["ONE", "TWO"])
