"""The reasons in plain sentences, by hand and for random jobs: whole, and nothing of what the shop earns."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest
from hypothesis import given

from quotekit.documents.why_text import lines_of
from quotekit.documents.why_words import change, goes_by, keys, missing_lines, reason, together, turns, would_do
from quotekit.model.quote import PricedTier
from quotekit.model.source import Source
from quotekit.model.why import (
    Alternative,
    BreakEven,
    Compared,
    Figures,
    Missing,
    Named,
    Refused,
    RemedyWhy,
    TierWhy,
)
from quotekit.pricing import build_quote
from quotekit.problems import has_errors
from tests import build
from tests.random_jobs import Case, cases

PATCH, NEW, CAP = (Named(key=key, name=name) for key, name in (("PATCH", "Patch"), ("NEW", "New ring"), ("CAP", "Cap")))

ROW = Source(sheet="Remedies", row=4, columns={"Life years": "H"})


def figures(**values: Any) -> Figures:
    named = {"work": D("50.00"), "over_years": D("150.00"), "shortest_life": D(2), "lives_together": D(7)}
    return Figures(**(named | {"operations": 3} | values))


def other(decided: str, **values: Any) -> Alternative:
    named: dict[str, Any] = {
        "takes": (NEW,),
        "drops": (PATCH,),
        "leaves": (),
        "figures": figures(shortest_life=D(5), lives_together=D(10), operations=4),
        "difference": D("12.00"),
        "over_years": D("-38.00"),
        "no_life": (),
        "decided_by": decided,
    }
    return Alternative(**(named | values))


def entry(alternative: Alternative | None = None, **values: Any) -> RemedyWhy:
    named: dict[str, Any] = {"remedy": PATCH, "fixes": ("WORN",), "standing": "compared", "alternative": alternative}
    return RemedyWhy(**(named | values))


def why(aim: str = "lowest price", *entries: RemedyWhy) -> TierWhy:
    return TierWhy(aim=aim, planned=False, horizon=D(5), figures=figures(), remedies=entries, missing=None)


@pytest.mark.parametrize(
    ("aim", "alternative", "words"),
    [
        (
            "lowest price",
            other("lowest price"),
            "12.00 cheaper today. NEW would cost 38.00 less over 5 years, but this option goes by the lowest price.",
        ),
        (
            "lowest price",
            other("lowest price", over_years=D("8.00")),
            "12.00 cheaper today, and 8.00 cheaper over 5 years.",
        ),
        ("lowest price", other("lowest price", over_years=D("0.00")), "12.00 cheaper today."),
        (
            "lowest price",
            other("lowest price", over_years=None, no_life=(NEW,)),
            "12.00 cheaper today. Over the years they can't be compared: NEW has no Life years.",
        ),
        (
            "lowest price",
            other("lowest price", over_years=None, no_life=(NEW, PATCH), leaves=("BENT", "BOLT")),
            "12.00 cheaper today. Over the years they can't be compared: NEW and PATCH have no Life years. "
            "With NEW, BENT and BOLT would be left.",
        ),
        ("lowest price", other("operations"), "Both cost the same; this takes fewer operations (3, not 4)."),
        (
            "lowest price",
            other("codes"),
            "Both cost the same, today too, with as many operations; the order of the codes decides.",
        ),
        (
            "least to own",
            other("least to own", over_years=D("9.00")),
            "9.00 cheaper over 5 years, and 12.00 cheaper today.",
        ),
        (
            "least to own",
            other("least to own", over_years=D("9.00"), difference=D("-3.00")),
            "9.00 cheaper over 5 years, though 3.00 dearer today.",
        ),
        (
            "least to own",
            other("least to own", over_years=D("9.00"), difference=D("0.00")),
            "9.00 cheaper over 5 years, at the same price today.",
        ),
        ("least to own", other("work"), "Both cost the same over 5 years; this is 12.00 cheaper today."),
        (
            "longest life",
            other("shortest life", difference=D("-12.00"), over_years=D("38.00")),
            "The first repair to wear out lasts 2 years; with NEW it would be 5 years or more. "
            "It costs 12.00 more today, 38.00 less over 5 years.",
        ),
        (
            "longest life",
            other("lives together", takes=(CAP, NEW), over_years=None, no_life=(CAP,)),
            "The first repair to wear out lasts 2 years either way. All lives together are 7 years, with CAP and NEW "
            "10 (each counted up to 5). It costs 12.00 less today. "
            "Over the years they can't be compared: CAP has no Life years.",
        ),
        ("longest life", other("work"), "Both last as long; this is 12.00 cheaper today."),
        (
            "longest life",
            other("operations"),
            "Both last as long and cost the same today; this takes fewer operations (3, not 4).",
        ),
        ("least to own", other("not the best"), "NEW would be better: the search was stopped by its time limit."),
    ],
)
def test_why_it_was_taken(aim: str, alternative: Alternative, words: str) -> None:
    assert reason([entry(alternative)], why(aim)) == words


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"standing": "planned"}, "The technician planned it."),
        ({"standing": "not compared"}, "Taken by what this option goes by; not compared one by one."),
        (
            {"standing": "the only one", "only_for": ("WORN",)},
            "The only remedy in the shop book for WORN on this job.",
        ),
        (
            {
                "standing": "the only one",
                "only_for": ("WORN",),
                "refused": (Refused(remedy=NEW, why="it fits only with WORN up to 12, and WORN measures 13"),),
            },
            "The only remedy that may be used for WORN. "
            "NEW is not permitted: it fits only with WORN up to 12, and WORN measures 13.",
        ),
        ({"standing": "the only one"}, "Every way to put WORN right takes it."),
        ({"standing": "the only one", "swaps_only": True}, "No other remedy can take its place alone."),
        (
            {"standing": "planned", "done_by_larger_work": True},
            "The technician planned it. The work of PATCH is done by larger work in this option.",
        ),
    ],
)
def test_why_there_was_nothing_to_choose(values: dict[str, Any], words: str) -> None:
    assert reason([entry(None, **values)], why()) == words


def turn(figure: str, now: str, wins_at: str | None, **values: Any) -> BreakEven:
    named: dict[str, Any] = {
        "figure": figure,
        "of": Named(key="RING", name="Ring, 3/4 in"),
        "present": D(now),
        "step": D("0.01"),
        "wins_at": None if wins_at is None else D(wins_at),
        "tried": D("0.25"),
        "then": (NEW,),
    }
    return BreakEven(**(named | values))


@pytest.mark.parametrize(
    ("found", "words"),
    [
        (
            turn("price of the alternative", "15.00", "9.50"),
            "NEW would be taken if Ring, 3/4 in (RING) sold at 9.50 or less, now 15.00.",
        ),
        (
            turn("price of the alternative", "15.00", "9.50", pack_cost=D("5.20"), pack_cost_now=D(10)),
            "NEW would be taken if Ring, 3/4 in (RING) sold at 9.50 or less, now 15.00, "
            "that is at a pack cost of 5.20 or less, now 10.00.",
        ),
        (
            turn("price of what is taken", "15.00", "21.00", then=(CAP, NEW), among="all else as chosen"),
            "CAP and NEW would be taken if Ring, 3/4 in (RING) sold at 21.00 or more, now 15.00, "
            "all else in the option as it is.",
        ),
        (
            turn("hours of the alternative", "0.5", "0.31", then=()),
            "NEW would do if Ring, 3/4 in (RING) took 0.31 h or less, now 0.5 h.",
        ),
        (turn("life of the alternative", "3", "5.00"), "NEW would be taken if RING lasted 5 years or more, now 3."),
        (turn("life of what is taken", "8", "1.00"), "NEW would be taken if RING lasted 1 year or less, now 8."),
        (
            turn("life of what is taken", "8", "1.00", source=ROW, column="Life years"),
            "NEW would be taken if RING lasted 1 year or less, now 8. (Remedies!H4)",
        ),
        (
            turn("price of the alternative", "15.00", None),
            "No price of Ring, 3/4 in (RING) is low enough for NEW; it is 15.00 now.",
        ),
        (
            turn("price of what is taken", "15.00", None, tried=D("99.00")),
            "Not even at 99.00 for Ring, 3/4 in (RING), now 15.00, would NEW be taken.",
        ),
        (
            turn("hours of the alternative", "0.5", None),
            "Not even at 0.25 h for Ring, 3/4 in (RING), now 0.5 h, would NEW be taken.",
        ),
        (
            turn("life of the alternative", "1", None),
            "However long RING lasted, now 1 year, it would not be taken.",
        ),
        (turn("life of what is taken", "1", None), "Even if RING lasted only 0.25 years it would be taken."),
    ],
)  # fmt: skip
def test_what_would_have_to_change(found: BreakEven, words: str) -> None:
    assert turns([entry(other("lowest price"), break_even=(found,))]) == [words]


def test_where_lives_decide_it_is_said_that_no_price_does() -> None:
    found = turn("life of the alternative", "3", "5.00")
    said = turns([entry(other("shortest life"), break_even=(found,))])
    assert said[-1] == "No price changes it: the lives decide."


def test_remedies_with_the_same_alternative_are_told_once() -> None:
    pair = other("lowest price", drops=(CAP, PATCH))
    first, second = entry(pair, remedy=CAP), entry(pair)
    third = entry(None, remedy=Named(key="BELT", name="Belt"), standing="planned")
    found = together(why("lowest price", first, second, third))
    assert [[one.remedy.key for one in entries] for entries in found] == [["CAP", "PATCH"], ["BELT"]]


@pytest.mark.parametrize(
    ("missing", "lines"),
    [
        (
            Missing(
                kind="costs no less",
                against="Better",
                comparisons=(Compared(what="Work", this="99.75", other="99.75"),),
                would_change=("it were ready in 3 working days or sooner",),
                cheaper_by=D("0.01"),
            ),
            [
                "Work: 99.75 here, 99.75 in Better.",
                "It would be offered if its work cost 0.01 less.",
                "It would be offered if it were ready in 3 working days or sooner.",
            ],
        ),
        (
            Missing(kind="same work", details=("no other complete choice was possible",), would_change=("X",)),
            ["No other complete choice was possible.", "It would be an option of its own if X."],
        ),
        (
            Missing(kind="not worked out", would_change=("Life years of A were stated", "Life years of B were stated")),
            ["It could be worked out if Life years of A were stated and Life years of B were stated."],
        ),
        (Missing(kind="not worked out"), []),
    ],
)
def test_why_a_tier_is_missing(missing: Missing, lines: list[str]) -> None:
    assert list(missing_lines(missing)) == lines
    assert would_do(missing) == [line for line in lines if line.startswith("It ")]


@pytest.mark.parametrize(("amount", "words"), [("0.00", "the same"), ("1.50", "1.50 more"), ("-1.50", "1.50 less")])
def test_a_difference_in_words(amount: str, words: str) -> None:
    assert change(D(amount)) == words
    assert change(None) == "not known"
    assert keys([PATCH, NEW]) == ("PATCH", "NEW")


def a_tier(aim: str, **job: Any) -> PricedTier:
    """PATCH at 50.00 for two years against NEW at 100.00 for nine."""
    book = build.a_book(
        operations=[build.an_operation("HALF", "0.5"), build.an_operation("HOUR", 1)],
        findings=[build.a_finding("WORN")],
        remedies=[
            build.a_remedy("PATCH", ["WORN"], ["HALF"], life_years=2, remedy="Patched"),
            build.a_remedy("NEW", ["WORN"], ["HOUR"], life_years=9, remedy="New one"),
        ],
        tiers=[build.a_tier("good", aim=aim)],
    )
    return build_quote(book, build.a_job(build.a_finding_on("WORN"), **job)).tiers[0]


def test_a_whole_tier_as_lines() -> None:
    assert lines_of(a_tier("lowest price")) == [
        "Good (good). It goes by the lowest price.",
        "Patched (PATCH)",
        "  Nearest alternative: New one (NEW): 50.00 more today, over 5 years 50.00 less.",
        "  50.00 cheaper today. NEW would cost 50.00 less over 5 years, but this option goes by the lowest price.",
        "  NEW would be taken if Hour (HOUR) took 0.5 h or less, now 1 h.",
    ]
    assert goes_by(a_tier("least to own")) == "It goes by what costs least to own."
    planned = a_tier("lowest price", plan=[build.a_plan_item("good", "NEW")])
    assert lines_of(planned) == [
        "Good (good). The technician planned it.",
        "New one (NEW)",
        "  The technician planned it.",
    ]
    assert lines_of(replace(planned, why=None)) == []


EARNINGS = re.compile(r"margin|profit|markup|earn|cash", re.IGNORECASE)


@given(cases())
def test_no_reason_speaks_of_what_the_shop_earns(case: Case) -> None:
    quote = build_quote(*case)
    if has_errors(quote.problems):
        return
    for tier in quote.tiers:
        lines = lines_of(tier)
        assert lines[0].startswith(f"{tier.name} ({tier.code}).")
        assert not [line for line in lines if EARNINGS.search(line)]
        assert not [line for line in lines if "None" in line or "E+" in line or "  ." in line or ".." in line]
