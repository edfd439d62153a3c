"""Units of each part in a year, from jobs that were closed."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from quotekit.model.entries import Comeback
from quotekit.model.review import Span
from quotekit.pricing.proposals.units_used import in_place_of, units_used
from tests.pricing.proposals.rows import book_of, part
from tests.pricing.review.stories import AJob, a_job, numbered

YEAR = Span(first=date(2025, 12, 2), last=date(2026, 12, 1))


@pytest.mark.parametrize(
    ("jobs", "expected", "why"),
    [
        ([a_job("1", parts="SEAL 2 at 4 for 7")], {"seal": 2}, "as agreed"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", used="SEAL 3")], {"seal": 3}, "as closing says"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", used="SEAL 0")], {}, "none was fitted"),
        (
            [a_job("1", parts="SEAL 2 at 4 for 7", used="Seal 1; PIN 0.5 at 1")],
            {"seal": 1, "pin": Fraction(1, 2)},
            "more",
        ),
        ([a_job("1", parts="SEAL 2 at 4 for 7"), a_job("2", parts="SEAL 1 at 4 for 7")], {"seal": 3}, "two jobs"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", hours=None)], {}, "not closed yet"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", closed_on=date(2025, 12, 1))], {}, "the day before the year"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", closed_on=date(2025, 12, 2))], {"seal": 2}, "its first day"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", closed_on=date(2026, 12, 1))], {"seal": 2}, "its last day"),
        ([a_job("1", parts="SEAL 2 at 4 for 7", closed_on=date(2026, 12, 2))], {}, "the day after"),
    ],
)
def test_units(jobs: list[AJob], expected: dict[str, int], why: str) -> None:
    assert units_used(numbered(jobs), YEAR) == expected, why


def test_a_comeback_uses_parts_too() -> None:
    """They were bought all the same."""
    first = a_job("1", parts="SEAL 2 at 4 for 7")
    again = a_job(
        "2", parts="SEAL 1 at 4 for 7", comeback=Comeback(first_job="1", cause="part", charged=0)  # type: ignore[arg-type]
    )  # fmt: skip
    assert units_used(numbered([first, again]), YEAR) == {"seal": 3}


def test_another_currency_counts_as_units_do() -> None:
    jobs = [a_job("1", parts="SEAL 2 at 4 for 7"), a_job("2", parts="SEAL 1 at 4 for 7", currency="EUR")]
    assert units_used(numbered(jobs), YEAR) == {"seal": 3}


def test_units_count_where_the_shop_book_has_another_part_by_now() -> None:
    """Fitted as BELT in spring and as LONG since; LAST is what quotes hold today. WIRE is in no book any more."""
    line = [part("BELT", "20.00", replaced_by="LONG"), part("LONG", "22.00", replaced_by="LAST"), part("LAST", "25.00")]
    units = {"belt": Fraction(5), "long": Fraction(3), "wire": Fraction(1)}
    assert in_place_of(units, book_of(*line)) == {"last": 8, "wire": 1}
