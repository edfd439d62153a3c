"""Why a tier is not offered, in figures, and what would have to change."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given, settings

from quotekit.model.quote import Quote
from quotekit.model.shop_book import ShopBook
from quotekit.model.source import Source
from quotekit.model.why import Missing
from quotekit.pricing import build_quote
from quotekit.pricing.why_missing import plain
from quotekit.problems import has_errors
from tests import build
from tests.random_jobs import Case, cases

GOOD, BETTER = build.a_tier("good", ["safety"]), build.a_tier("better", ["safety", "needed"])


def shop(*tiers: Any, **values: Any) -> ShopBook:
    """BRAKE (safety) is an hour, BELT (needed) half an hour."""
    named: dict[str, Any] = {
        "operations": [build.an_operation("FIT-BRAKE", 1), build.an_operation("FIT-BELT", "0.5")],
        "findings": [build.a_finding("BRAKE", "safety", limit=10, fails_when="above"), build.a_finding("BELT")],
        "remedies": [
            build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
            build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
        ],
        "tiers": list(tiers) or [GOOD, BETTER],
    }
    return build.a_book(**(named | values))


def quote_of(book: ShopBook, *codes: str, **job: Any) -> Quote:
    return build_quote(book, build.a_job(*(build.found(book, code) for code in codes or ("BRAKE", "BELT")), **job))


def missing(quote: Quote, code: str) -> Missing | None:
    """Why a tier is missing; None where it is offered."""
    reasons = next(tier for tier in quote.tiers if tier.code == code).why
    assert reasons is not None
    return reasons.missing


def test_an_offered_tier_is_not_missing() -> None:
    quote = quote_of(shop())
    assert [missing(quote, code) for code in ("good", "better")] == [None, None]


def test_inside_the_minimum_the_smaller_tier_would_have_to_cost_a_cent_less() -> None:
    """Both are two hours by the minimum: 200.00. BELT comes free, so BRAKE alone is not offered."""
    quote = quote_of(shop(settings=build.settings(minimum_labour_hours=2)))
    found = missing(quote, "good")
    assert found is not None
    assert (found.kind, found.against, str(found.cheaper_by)) == ("costs no less", "Better", "0.01")
    assert [(line.what, line.this, line.other) for line in found.comparisons] == [
        ("Work", "200.00", "200.00"),
        ("Puts right", "1 fault", "2 faults, also BELT"),
        ("Lasts, years up to 5", "5 at least", "no less on any"),
        ("Ready, working days", "0", "0"),
    ]
    assert found.would_change == ()


def test_lives_that_differ_and_days_that_could_be_fewer_are_told() -> None:
    """The plan of `good` takes a dear brake of two years; `better` one of five, in three days as well."""
    remedies = [
        build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"], parts="PAD"),
        build.a_remedy("DEAR-BRAKE", ["BRAKE"], ["FIT-BRAKE"], parts="PAD x 4", life_years=2),
        build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
    ]
    book = shop(remedies=remedies, parts=[build.a_part("PAD", 40)], settings=build.settings(queue_days=2))
    found = missing(quote_of(book, plan=[build.a_plan_item("good", "DEAR-BRAKE")]), "good")
    assert found is not None
    assert str(found.cheaper_by) == "130.01"  # 340.00 against 210.00
    assert [(line.this, line.other) for line in found.comparisons[2:]] == [("BRAKE 2", "BRAKE 5"), ("5", "5")]
    assert found.would_change == ("it were ready in 4 working days or sooner",)


def test_what_would_cost_less_is_offered() -> None:
    """A cent and all: typed as a discount of its part, the tier comes back."""
    remedies = [
        build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"], parts="PAD"),
        build.a_remedy("DEAR-BRAKE", ["BRAKE"], ["FIT-BRAKE"], parts="GOLD"),
        build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"]),
    ]
    parts = [build.a_part("PAD", 10), build.a_part("GOLD", 100, fixed_price_each=150)]
    book = shop(remedies=remedies, parts=parts)
    plan = [build.a_plan_item("good", "DEAR-BRAKE")]
    found = missing(quote_of(book, plan=plan), "good")
    assert found is not None
    assert found.cheaper_by is not None
    for less, offered in ((found.cheaper_by, True), (found.cheaper_by - D("0.01"), False)):
        gold = replace(book.parts["GOLD"], fixed_price_each=150 - less)
        changed = replace(book, parts={**book.parts, "GOLD": gold})
        assert quote_of(changed, plan=plan).tiers[0].offered is offered


def test_the_same_work_without_another_choice() -> None:
    """Only the brake was found: `better` has nothing more to do."""
    found = missing(quote_of(shop(), "BRAKE"), "better")
    assert found is not None
    assert (found.kind, found.against) == ("same work", "Good")
    assert found.details == ("no other complete choice was possible",)
    assert found.would_change == (
        "a fault of severity needed were found, which Good does not cover",
        "the shop book had another remedy for BRAKE",
    )


def test_the_same_work_though_there_was_a_choice() -> None:
    remedies = [
        build.a_remedy("NEW-BRAKE", ["BRAKE"], ["FIT-BRAKE"]),
        build.a_remedy("SHOES", ["BRAKE"], ["FIT-BRAKE"], parts="PAD"),
    ]
    tiers = (GOOD, build.a_tier("best", ["safety"], aim="longest life"))
    book = shop(*tiers, remedies=remedies, parts=[build.a_part("PAD", 40)])
    found = missing(quote_of(book, "BRAKE"), "best")
    assert found is not None
    assert found.details == ()
    assert found.would_change == ("another choice won in it: see what each of its remedies would give way to",)


def test_the_same_work_by_plan() -> None:
    quote = quote_of(shop(), "BRAKE", plan=[build.a_plan_item("better", "NEW-BRAKE")])
    found = missing(quote, "better")
    assert found is not None
    assert found.would_change[-1] == "other items stood for it on the Plan sheet"


@pytest.mark.parametrize(
    ("values", "details", "changes"),
    [
        (
            {"remedies": [build.a_remedy("NEW-BELT", ["BELT"], ["FIT-BELT"])]},
            ("the shop book has no remedy for BRAKE",),
            ("the shop book had a remedy for BRAKE that may be used here", "a one-off line on the job put BRAKE right"),
        ),
        (
            {"fits_only_if": [build.fits_only_if("NEW-BRAKE", "BELT", 1, 5)]},
            (
                "BRAKE: New-Brake (NEW-BRAKE) is not permitted: it fits only with BELT from 1 to 5, "
                "which is not measured on this job",
            ),
            (
                "measuring BELT showed that New-Brake (NEW-BRAKE) fits: it fits only with BELT from 1 to 5, "
                "which is not measured on this job",
                "the shop book had a remedy for BRAKE that may be used here",
                "a one-off line on the job put BRAKE right",
            ),
        ),
    ],
)
def test_a_safety_finding_left_is_told_remedy_by_remedy(
    values: dict[str, Any], details: tuple[str, ...], changes: tuple[str, ...]
) -> None:
    found = missing(quote_of(shop(GOOD, **values), "BRAKE", one_off=[build.a_one_off(1)]), "good")
    assert found is not None
    assert (found.kind, found.details, found.would_change) == ("leaves safety", details, changes)


def test_a_plan_that_leaves_a_safety_finding() -> None:
    found = missing(quote_of(shop(GOOD), plan=[build.a_plan_item("good", "NEW-BELT")]), "good")
    assert found is not None
    assert (found.kind, found.details) == ("leaves safety", ("the technician's plan leaves BRAKE",))


def test_nothing_to_do() -> None:
    """Only the belt was found, which `good` does not cover."""
    found = missing(quote_of(shop(), "BELT"), "good")
    assert found is not None
    assert (found.kind, found.details) == ("nothing to do", ())
    assert found.would_change[0] == "a fault of severity safety had a remedy that may be used"


def test_lives_that_are_not_stated_are_named_with_their_cells() -> None:
    """Two ways, both blank: both cells, each row once, though it stands on two sides."""
    source = Source(file="book.xlsx", sheet="Remedies", row=7, columns={"Life years": "H"})
    remedies = [
        build.a_remedy("A", ["BRAKE"], ["FIT-BRAKE"], life_years=None, source=source),
        build.a_remedy("B", ["BRAKE"], ["FIT-BELT"]),
    ]
    operations = [build.an_operation("FIT-BRAKE", 1, each_side=True), build.an_operation("FIT-BELT", each_side=True)]
    book = shop(build.a_tier("best", ["safety"], aim="longest life"), remedies=remedies, operations=operations)
    job = build.a_job(build.found(book, "BRAKE", "left"), build.found(book, "BRAKE", "right"))
    found = missing(build_quote(book, job), "best")
    assert found is not None
    assert found.kind == "not worked out"
    assert len(found.would_change) == 1
    assert found.would_change[0].endswith("were stated, in book.xlsx:Remedies!H7")


def test_a_tier_kept_back_by_itself_keeps_no_other_back() -> None:
    """`twin` is the same work as `good`, so it is no reason against it."""
    book = shop(GOOD, build.a_tier("twin", ["safety"]))
    quote = quote_of(book, "BRAKE")
    assert missing(quote, "good") is None
    found = missing(quote, "twin")
    assert found is not None
    assert found.kind == "same work"


@given(cases())
@settings(max_examples=30)
def test_the_kind_follows_the_reason_of_the_quote(case: Case) -> None:
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    starts = {
        "same work": "it is the same work as",
        "leaves safety": "it would leave a safety finding",
        "nothing to do": "there is nothing to do",
        "not worked out": "it has to choose over years",
    }
    for tier in quote.tiers:
        assert tier.why is not None
        found = tier.why.missing
        assert (found is None) == (tier.reason is None)
        if found is None or tier.reason is None:
            continue
        assert tier.reason.startswith(starts.get(found.kind, found.against))
        assert (found.cheaper_by is not None) == (found.kind == "costs no less")
        if found.cheaper_by is not None:
            assert found.cheaper_by > 0
            assert len(found.comparisons) == 4
        if found.kind == "not worked out":
            assert found.would_change


@pytest.mark.parametrize(("value", "words"), [("5.00", "5"), ("2.50", "2.5"), ("0", "0"), ("1E+1", "10")])
def test_numbers_are_plain(value: str, words: str) -> None:
    assert plain(D(value)) == words
