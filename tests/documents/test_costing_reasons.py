"""Reasons and warnings in the costing: a section a kind of reason, and what there is none of in one line."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from quotekit.documents.costing_reasons import lay_out_reasons
from quotekit.pricing import build_quote
from quotekit.problems import Place, Problem, warning
from tests import build
from tests.build import QUOTE_DATE
from tests.pricing.explain.small import a_shop, job_of, typed


def rows(book: Any = None, *problems: Problem, job: Any = None) -> list[list[str]]:
    """The sheet as texts, blank cells left out; a cell is `CODE!Heading 1`."""
    book = book or dated(QUOTE_DATE)
    quote = build_quote(typed(book), typed(job or job_of(book)))
    sheet = lay_out_reasons(quote, problems, "Reasons and warnings")
    return [[str(cell.content) for cell in row.cells if cell.content not in (None, "")] for row in sheet.rows]


def section(title: str, *given: Any, **more: Any) -> list[list[str]]:
    """Rows of a section below its heading and titles; empty where there is none."""
    table = rows(*given, **more)
    starts = [place for place, row in enumerate(table) if row[:1] == [title]]
    if not starts:
        return []
    below = table[starts[0] + 2 :]
    end = next((place for place, row in enumerate(below) if not row), len(below))
    return below[:end]


def dated(when: date | None) -> Any:
    """The small shop, its seal's cost of that day."""
    return a_shop(parts=[build.a_part("SEAL", cost_date=when)])


def test_what_there_is_none_of_is_said_in_one_line() -> None:
    assert rows() == [
        ["Reasons and warnings"],
        [
            "Every tier is offered. No remedy is kept out by a limit. None fits only with another. Nothing to measure "
            "next. Nothing to look next. Every price used is dated and young enough. No warnings."
        ],
    ]


@pytest.mark.parametrize(
    ("days", "listed"),
    [
        (0, []),
        (90, []),
        (91, [["Seal (SEAL)", str(QUOTE_DATE - timedelta(91)), "91", "SEAL!Cost date 1"]]),
        (None, [["Seal (SEAL)", "no date", "SEAL!Cost date 1"]]),
    ],
)
def test_a_price_is_old_after_the_limit(days: int | None, listed: list[list[str]]) -> None:
    """Ninety days unless the shop says otherwise; on the ninetieth it is not."""
    book = dated(None if days is None else QUOTE_DATE - timedelta(days))
    assert section("Prices that are old or have no date", book) == listed


def test_the_customers_own_part_has_no_price_to_be_old() -> None:
    book = dated(None)
    assert section("Prices that are old or have no date", book, job=job_of(book, own_parts=("SEAL",))) == []


def test_a_tier_that_is_not_offered_says_why() -> None:
    book = a_shop(tiers=[build.a_tier("good"), build.a_tier("better")])
    assert section("Tiers that are not offered", book) == [["Better (better)", "it is the same work as Good"]]


def limited(*limits: Any) -> Any:
    """A shaft of 24.8 is worn, NEW renews it; a bore of 24.8 is sound. SLEEVE fits within limits."""
    return a_shop(
        findings=[
            build.a_finding("WORN", limit=25, fails_when="below", measure="shaft", unit="mm"),
            build.a_finding("BORE", limit=30, fails_when="above", measure="bore", unit="mm"),
        ],
        remedies=[
            build.a_remedy("NEW", ["WORN"], ["FIT"]),
            build.a_remedy("SLEEVE", ["WORN"], ["FIT"], parts="SEAL"),
        ],
        fits_only_if=list(limits),
    )


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [
        ("24.9", None, "SLEEVE!From 1 BORE 24.9 to any"),
        (None, "24.7", "SLEEVE!From 1 BORE any to 24.7"),
        ("24.9", "25", "SLEEVE!From 1 BORE 24.9 to 25"),
    ],
)
def test_a_remedy_that_is_not_permitted_names_its_limits(low: str | None, high: str | None, words: str) -> None:
    book = limited(build.fits_only_if("SLEEVE", "BORE", low, high))
    job = build.a_job(*(build.a_finding_on(code, measured="24.8") for code in ("WORN", "BORE")))
    ((remedy, why, cells),) = section("Remedies that are not permitted", book, job=job)
    assert (remedy, cells) == ("Sleeve (SLEEVE)", words) and "24.8" in why


def test_a_remedy_that_fits_beside_another_says_which() -> None:
    """A new shaft has the size of a new one."""
    book = limited(build.fits_only_if("SLEEVE", "WORN", "24.9"))
    job = build.a_job(*(build.a_finding_on(code, measured="24.8") for code in ("WORN", "BORE")))
    assert section("Remedies that fit only with another", book, job=job) == [
        ["Sleeve (SLEEVE)", "fits only together with NEW", "SLEEVE!From 1 WORN 24.9 to any"]
    ]


def test_what_to_measure_next_is_named_with_its_measure() -> None:
    """BENT is not measured on this job, and SLEEVE hangs on it."""
    book = a_shop(
        findings=[build.a_finding("WORN"), build.a_finding("BENT", limit=1, fails_when="above", measure="run-out")],
        remedies=[build.a_remedy("NEW", ["WORN"], ["FIT"]), build.a_remedy("SLEEVE", ["WORN"], ["FIT"], parts="SEAL")],
        fits_only_if=[build.fits_only_if("SLEEVE", "BENT", None, "0.5")],
    )
    job = build.a_job(build.a_finding_on("WORN"))
    assert section("Measure next", book, job=job) == [["BENT", "Bent, measure run-out"]]


def test_a_warning_names_its_cell_or_its_file() -> None:
    spots = (Place("book", "Parts", "D3"), Place("else.xlsx"))
    told = [warning(place, "old-price", "It is old.", "Ask for a new one.") for place in spots]
    assert section("Warnings", None, *told) == [
        ["It is old.", "Ask for a new one.", "Parts!D3"],
        ["It is old.", "Ask for a new one.", "else.xlsx"],
    ]
