"""Options where they were shown, ages in days, reasons."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest

from quotekit.model.review import Span
from quotekit.pricing.review.fates import Fate, fates
from quotekit.pricing.review.wins import AGES, age_bands, age_of, lost_reasons, tier_wins, tiers_shown
from tests.pricing.review.stories import DAY, AJob, a_job, an_option, numbered

D = Decimal
SPAN = Span(first=DAY, last=DAY + timedelta(days=45))


def a_quote(number: str, shown: str, yes: str = "", *, no: str = "", days: int = 1, valid: int = 90) -> AJob:
    """Options shown, the one chosen or the reason for a no, after so many days."""
    on = DAY + timedelta(days=days)
    return a_job(
        number,
        hours=None,
        tier=yes or "good",
        accepted_on=on if yes else None,
        declined=((on, no, None),) if no else (),
        valid_days=valid,
        offered=tuple(an_option(code, str(100 + 50 * n)) for n, code in enumerate(shown.split())),
    )


def of(*quotes: AJob) -> tuple[Fate, ...]:
    """Their fates."""
    return fates(numbered(quotes), SPAN)


QUOTES = (
    a_quote("1", "good better best", "good"),
    a_quote("2", "good better best", "better"),
    a_quote("3", "good better", "good"),
    a_quote("4", "good", "good"),
    a_quote("5", "good better", no="price"),
    a_quote("6", "good better", valid=10),
    a_quote("7", "good better best"),
)


def test_rates_where_shown() -> None:
    """Best was shown three times, one still open, and never chosen; it is not held against quotes without it."""
    found = {one.tier: one for one in tier_wins(of(*QUOTES))}
    counts = {
        tier: (one.shown, one.open, one.chosen, one.other_chosen, one.declined, one.lapsed)
        for tier, one in found.items()
    }
    assert counts == {"good": (7, 1, 3, 1, 1, 1), "better": (6, 1, 1, 2, 1, 1), "best": (3, 1, 0, 2, 0, 0)}
    assert {tier: one.rate for tier, one in found.items()} == {
        "good": D("0.5000"),
        "better": D("0.2000"),
        "best": D("0.0000"),
    }


def test_all_still_open() -> None:
    """No rate yet."""
    (found,) = tier_wins(of(a_quote("1", "good")))
    assert (found.shown, found.open, found.rate) == (1, 1, None)


def test_the_order_of_options() -> None:
    """That of the quote that shows most; others after it."""
    found = of(a_quote("1", "better"), a_quote("2", "good better best"), a_quote("3", "special good"))
    assert tiers_shown(found) == ("good", "better", "best", "special")


def test_the_newest_name_counts() -> None:
    """An option renamed in mid-season goes by its new name."""
    old, new = a_quote("1", "good"), a_quote("2", "good")
    old.offered, new.offered = (an_option(name="Repair"),), (an_option(name="Put right"),)
    assert [one.name for one in tier_wins(of(old, new))] == ["Put right"]


@pytest.mark.parametrize(
    ("days", "band"),
    [(0, "0-3"), (3, "0-3"), (4, "4-7"), (7, "4-7"), (8, "8-14"), (14, "8-14"), (15, "15-30"), (30, "15-30"),
     (31, "30+"), (400, "30+")],
)  # fmt: skip
def test_bands_of_days(days: int, band: str) -> None:
    """Both ends belong to a band, and none is left out."""
    assert age_of(days) == band


def test_ages() -> None:
    """Open quotes by their age with the least they bring; decided ones by the days they took."""
    found = of(
        a_quote("1", "good better", "good", days=2),
        a_quote("2", "good", no="time", days=10),
        a_quote("3", "good better"),
        a_quote("4", "good", valid=20),
    )
    bands = {one.name: (one.open, one.open_from, one.accepted, one.declined) for one in age_bands(found)}
    assert list(bands) == [name for name, _ in AGES]
    assert bands == {
        "0-3": (0, 0, 1, 0),
        "4-7": (0, 0, 0, 0),
        "8-14": (0, 0, 0, 1),
        "15-30": (0, 0, 0, 0),
        "30+": (1, 100, 0, 0),
    }


def test_the_least_an_open_quote_brings() -> None:
    """The cheapest option, whichever it is."""
    quote = a_quote("1", "good better")
    quote.offered = (an_option("good", "300"), an_option("better", "250"))
    assert sum(one.open_from for one in age_bands(of(quote))) == 250


def test_reasons() -> None:
    """The most frequent first; silence past the day of validity is a reason of its own."""
    found = of(
        a_quote("1", "good", no="price"),
        a_quote("2", "good", no="price"),
        a_quote("3", "good", no="time"),
        a_quote("4", "good", valid=10),
        a_quote("5", "good", "good"),
        a_quote("6", "good"),
    )
    assert [(one.reason, one.quotes) for one in lost_reasons(found)] == [("price", 2), ("no word", 1), ("time", 1)]


def test_no_quotes() -> None:
    """Nothing was shown, nothing is lost."""
    assert tier_wins(()) == () and lost_reasons(()) == ()
    assert [one.open for one in age_bands(())] == [0] * 5
