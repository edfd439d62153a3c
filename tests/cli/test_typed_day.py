"""A day on the command line: an ISO date, or wrong usage with the text that was typed."""

from __future__ import annotations

import argparse
from datetime import date

import pytest

from quotekit.cli.typed_day import typed_day


def test_an_iso_date_is_a_day() -> None:
    assert typed_day("2026-02-28") == date(2026, 2, 28)


@pytest.mark.parametrize("text", ["", "tomorrow", "28.2.2026", "2026-02-30"])
def test_any_other_text_is_wrong_usage(text: str) -> None:
    with pytest.raises(argparse.ArgumentTypeError) as refused:
        typed_day(text)
    assert str(refused.value) == f"{text!r} is no date like 2026-11-25"


@pytest.mark.parametrize("text", ["1999-12-31", "2200-01-01", "0001-01-01", "9999-12-31"])
def test_a_day_of_another_age_is_wrong_usage(text: str) -> None:
    """Days are counted on from a day that is typed: the last day there is has none after it."""
    with pytest.raises(argparse.ArgumentTypeError) as refused:
        typed_day(text)
    assert str(refused.value) == f"the year of {text!r} is not one from 2000 to 2199"


def test_the_first_and_the_last_day_there_are() -> None:
    assert (typed_day("2000-01-01"), typed_day("2199-12-31")) == (date(2000, 1, 1), date(2199, 12, 31))
